"""The sums of the shop as cards: what each one asks for, and what it tells. One table for all who offer them.

`plytally shop` makes its commands from the table, the phone its pages; a card's own function asks core/shop,
so nothing is reckoned here and nothing is reckoned twice. Plain values go in by name, results and lines of
text come out. New sum: write it in core/shop, add its card to the file of its subject, and both have it.
"""
