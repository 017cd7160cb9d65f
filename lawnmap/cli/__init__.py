"""Words typed by a user and exit codes."""


def main() -> None:
    """Run the command line."""
