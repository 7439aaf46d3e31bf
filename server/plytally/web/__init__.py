"""How phones and the desk reach the log: sync, media, pairing, the desk's own calls, TLS.

May import core, store, speech, remind and record. `app.py` alone wires the rooms together; every other
file here is one idea. Nothing is answered before it is durable, and every refusal says what to do.
"""
