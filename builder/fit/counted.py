"""A number with its noun, for the few messages below the catalogue of sentences."""


def counted(n: int, noun: str) -> str:
    """Count things whose plural takes an s: "1 value", "2 values"."""
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"
