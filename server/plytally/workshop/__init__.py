"""The builder's bench: what is heard or typed goes into the log, and questions are answered from it.

Wires core, speech and store for the command line and the web; holds no rule of the trade itself.
"""
