"""The command line: one file a command."""


def main() -> None:
    """Run the command line."""
