"""Parts come out as they went in, with what is said of them."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.bundles import bundled, unbundled


@settings(deadline=None)
@given(st.lists(st.binary(max_size=5)), st.dictionaries(st.sampled_from("abc"), st.text()))
def test_parts_come_out_as_they_went_in(parts: list[bytes], about: dict[str, str]) -> None:
    said, read = unbundled(bundled(about, parts))
    assert list(read) == parts
    assert said == {**about, "sizes": list(map(len, parts))}
