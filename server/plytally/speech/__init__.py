"""Sound becomes words: decoding of audio, the recogniser port and its engines, the grammar they listen by.

May import core and the audio and speech libraries; knows nothing of the log or the web.
"""
