"""The program's first lines, which load so little that it can be stopped at any moment."""

from __future__ import annotations

import sys


def run() -> None:
    """Run the command that was asked for; an interrupt while it is still loading ends quietly, too."""
    try:
        from splitpin.command.main import run as run_command

        run_command()
    except KeyboardInterrupt:
        sys.exit(130)


if __name__ == "__main__":
    run()
