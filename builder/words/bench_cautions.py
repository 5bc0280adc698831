"""What to beware of at a particle counter."""

from __future__ import annotations

from builder.words.catalogue import say


def bench_cautions() -> tuple[str, ...]:
    """Say what to beware of wherever particles are counted in masks."""
    return say("bench.flames"), say("bench.shared"), say("bench.smoking"), say("bench.consent")
