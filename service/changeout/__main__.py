"""``python -m changeout``: the same as the command ``changeout``."""

from changeout.cli import main

main(prog_name="changeout")
