"""Pictures made from the log and the print: shapes with words and numbers, and a table that says the same.

A picture is drawn once, as plain shapes, and put on a page (`svg`) or on paper (the record's PDF). Whatever
it shows is told by hatching, by a label and by the table beside it, never by colour alone.
"""
