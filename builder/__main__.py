"""Lets `python -m builder` do what `sealbook` does."""

from builder.cli import main

main(prog_name="python -m builder")
