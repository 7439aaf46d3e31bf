"""`python -m plytally`."""

from plytally.cli import main

main()
