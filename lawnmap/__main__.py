"""Run the command line with ``python -m lawnmap``."""

from lawnmap.cli import main

if __name__ == "__main__":
    main()
