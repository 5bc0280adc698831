"""How configurations hang together, and which chain leads from one to another."""

from __future__ import annotations

import numpy as np

from builder.fit.compare.chains import Links

A, B, C, D, E = range(5)


def links(*faces: set[int], limits: dict[int, set[int]] | None = None, wearers: list[str] | None = None) -> Links:
    tried = np.array([[place in face for place in range(5)] for face in faces])
    exact = tried.copy()
    for face, places in (limits or {}).items():
        exact[face, sorted(places)] = False
    return Links.of(tried, exact, wearers or [f"w{number}" for number in range(len(faces))])


def test_a_link_counts_the_wearers_of_both() -> None:
    found = links({A, B}, {A, B, C}, {B, C}, {D})
    assert found.wearers[A].tolist() == [0, 2, 1, 0, 0]
    assert (found.wearers == found.wearers.T).all()
    assert found.chains_from(A).to(B) == ((B, 2),)


def test_a_wearer_with_and_without_a_beard_counts_once() -> None:
    found = links({A, B}, {A, B}, {B, C}, wearers=["ann", "ann", "ben"])
    assert found.wearers[A, B] == 1
    assert found.wearers[B, C] == 1


def test_the_chain_is_the_shortest_and_of_these_the_one_with_the_best_weakest_link() -> None:
    # A to E over B (links of 1 and 3) or over C (2 and 2); over D it would be longer.
    found = links({A, B}, {B, E}, {B, E}, {B, E}, {A, C}, {A, C}, {C, E}, {C, E}, *[{A, D}] * 5, *[{D, B}] * 5)
    assert found.chains_from(A).to(E) == ((C, 2), (E, 2))
    assert found.chains_from(E).to(D) == ((B, 3), (D, 5))


def test_without_a_chain_there_is_none() -> None:
    found = links({A, B}, {C, D})
    assert found.chains_from(A).to(C) == ()
    assert found.chains_from(A).to(A) == ()


def test_limits_on_both_sides_join_nothing_and_limits_alone_lead_no_further() -> None:
    found = links({A, B}, {B, C}, {D, E}, limits={0: {B}, 1: {B}, 2: {D, E}})
    assert found.wearers[A, B] == 1
    assert found.wearers[D, E] == 0
    assert found.passes.tolist() == [True, False, True, False, False]
    assert found.chains_from(A).to(B) == ((B, 1),)
    assert found.chains_from(A).to(C) == ()
