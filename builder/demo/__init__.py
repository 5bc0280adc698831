"""Invented entries of any size, drawn from a stated truth: the mask bench of a repair café that does not exist.

The entries in `entries/` are these with the defaults below. To make them anew:

    rm -r entries && sealbook demo entries
"""

TESTS = 420
WEARERS = 16
MASKS = 12
SEED = 283
"""The defaults of `sealbook demo`."""
