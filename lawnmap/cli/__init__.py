"""Words typed by a user and exit codes: 0 done, 1 the input is wrong, 2 wrong usage."""

from lawnmap.cli.app import main

__all__ = ["main"]
