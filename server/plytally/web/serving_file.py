"""Where a running server says that it runs."""

SERVING = "serving.json"
"""In the data folder while a server runs on it: its addresses, and the key for this user's own programs."""
