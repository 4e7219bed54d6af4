"""``python -m partmuster``: the same as the command ``partmuster``."""

from .cli import main

if __name__ == "__main__":
    main(prog_name="partmuster")
