"""Sealbook: entries of mask fit tests in, a checked and searchable static site out."""

import os

# The matrices here are many and small: a second thread of linear algebra costs far more than it brings.
# Must be said before NumPy is first imported; whoever wants more says so in the environment.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("OMP_NUM_THREADS", "1")
