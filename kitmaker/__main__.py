"""Run the command: ``kitmaker``, or ``python -m kitmaker``."""

import sys


def main() -> None:
    """Run it; Ctrl-C ends it in one line while it is still being loaded too."""
    try:
        from kitmaker.cli import main as command
    except KeyboardInterrupt:
        sys.stderr.write("kitmaker: stopped. Nothing was written.\n")
        sys.exit(130)
    command()


if __name__ == "__main__":
    main()
