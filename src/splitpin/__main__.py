"""``python -m splitpin`` is the command line."""

from splitpin.command.main import run

if __name__ == "__main__":
    run()
