"""Run the command: ``python -m kitmaker``."""

from kitmaker.cli import main

if __name__ == "__main__":
    main()
