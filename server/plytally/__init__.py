"""plytally: sound becomes words, words an entry, entries a log that is held against the print."""

__version__ = "0.1.0"
