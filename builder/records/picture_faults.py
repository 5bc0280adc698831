"""What can be wrong with a picture beside an entry."""

from __future__ import annotations

from collections.abc import Sequence

from builder.records.problems import Finding, Rule

MAX_PICTURE_BYTES = 500_000
"""A photograph of 1,600 pixels in good quality; a page stays light, and a repository of thousands of them usable."""

PICTURE_FILE = Rule(
    "picture-file",
    "A picture is a small, whole JPEG, PNG or WebP",
    """A picture stands beside its entry as `.jpg`, `.png` or `.webp`, is what its name says, whole, still and upright.

It is told by its content: an SVG can hold scripts, and other kinds are not shown by every browser. It has at most
500 kB and 2,400 pixels a side, so that pages stay light and no file can fill the memory. A camera that was held
upright often notes that its picture has to be turned; the note goes with all others (see `picture-metadata`), so the
picture itself has to be turned.
""",
)
PICTURE_METADATA = Rule(
    "picture-metadata",
    "A picture says nothing but what it shows",
    """A picture holds no notes of camera or program: place, day, device, names, comments, thumbnails.

Phones write where and when a picture was taken into it, which together with a face is more than anybody wants to
publish. `sealbook check --fix` takes all of it out; the picture itself stays as it is, byte for byte.
""",
)
RULES = (PICTURE_FILE, PICTURE_METADATA)

_UPRIGHT = "Turn it in a picture program and save it upright, then run `sealbook check --fix`."


def not_a_picture(what: str) -> Finding:
    """Report a kind of file that is not shown."""
    return Finding((), f"This is {what}.", "Save the picture as JPEG, PNG or WebP.")


def wrong_name(suffix: str, kind: str) -> Finding:
    """Report a name that says another kind than the content is."""
    return Finding((), f"It ends in {suffix} and holds {_KINDS[kind]}.", f"Rename it to end in .{kind}.")


def broken(why: str) -> Finding:
    """Report a picture that cannot be shown whole."""
    return Finding(
        (), f"The picture cannot be used: {why}.", "Save it anew, whole and with at most 2,400 pixels a side."
    )


def moving() -> Finding:
    """Report an animation."""
    return Finding((), "The picture moves.", "Save one still picture of it.")


def turned() -> Finding:
    """Report a picture that is shown turned only as long as its notes say so."""
    return Finding(
        (), "The picture lies on its side or is mirrored, and only a note in it says how to turn it.", _UPRIGHT
    )


def notes(beside: Sequence[str]) -> Finding:
    """Report what stands beside the picture."""
    return Finding((), f"It holds {', '.join(beside)}.", "Run `sealbook check --fix`, which takes it out.")


_KINDS = {"jpg": "a JPEG", "png": "a PNG", "webp": "a WebP"}
