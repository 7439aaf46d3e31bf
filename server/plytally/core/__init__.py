"""The meaning of what a builder says, and the arithmetic around it.

Pure: values come in, values go out. Nothing here reads a clock, a file, the network or a random
number, and nothing outside the standard library is imported, because the same files run on the
shop computer and, under Pyodide, on the phone.
"""
