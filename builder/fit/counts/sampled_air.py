"""What a counter breathes during a run."""

KINDS = ("ambient", "mask", "purge")
AMBIENT, MASK, PURGE = range(3)
