"""The record that is handed over: on paper (PDF), as tables (CSV), and whole (JSON Lines with media).

May import core and store. Everything is made from the log as it stands; nothing here is an approval.
"""
