"""What a counter breathes during a run, and what two sensors at once breathe."""

KINDS = ("ambient", "mask", "purge", "same air", "swapped")
AMBIENT, MASK, PURGE, SAME_AIR, SWAPPED = range(5)

OF_ONE = KINDS[:3]
"""What one counter breathes. The others are of two sensors: both in one air, or each in the other's place."""
