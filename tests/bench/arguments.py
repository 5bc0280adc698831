"""The command line of the measurements: `--help` says what is measured, and with which defaults."""

from __future__ import annotations

import argparse
from pathlib import Path


class _Layout(argparse.ArgumentDefaultsHelpFormatter, argparse.RawDescriptionHelpFormatter):
    """Keeps the lines of the description, and adds the default of each argument."""


def parser(file: str, description: str | None) -> argparse.ArgumentParser:
    """Start the command line of a measurement from the path and the docstring of its module."""
    return argparse.ArgumentParser(
        prog=f"python -m tests.bench.{Path(file).stem}", description=description, formatter_class=_Layout
    )
