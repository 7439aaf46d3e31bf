"""What is kept: the append-only journal, small documents, media by content hash, verification.

May import core; every write is durable before it is acknowledged.
"""
