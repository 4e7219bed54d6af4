"""``python -m partmuster``: the same as the command ``partmuster``."""

from .cli import main

main(prog_name="partmuster")
