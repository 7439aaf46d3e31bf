"""Calls for clocks that are due, also where the app is closed: whom, when, and that it was done once."""
