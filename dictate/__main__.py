"""`python -m dictate` is the `dictate` command."""

from dictate.cli.main import run

if __name__ == "__main__":
    run()
