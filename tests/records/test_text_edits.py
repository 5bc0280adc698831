"""Values changed in the text of an entry, all the rest of it left as it is."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.models import Test
from builder.records.text_edits import UneditableError, rewritten, with_values
from builder.records.toml_text import to_toml
from tests.records import samples

BEFORE = Test.model_validate(tomllib.loads(samples.TEST))
RESULT = BEFORE.result.model_copy(update={"set_aside": "hose off"})


def test_only_the_value_changes() -> None:
    text = "a = 1 # one\n[t] # table\n'b c' =  \"x\" # two\nlist = [{n = 1}, {n = 2.5}]\n"
    changed = with_values(text, {("a",): 2, ("t", "b c"): "y", ("t", "list", 1, "n"): 3.0})
    assert changed == "a = 2 # one\n[t] # table\n'b c' =  \"y\" # two\nlist = [{n = 1}, {n = 3}]\n"


def test_what_is_not_there_cannot_be_changed_in_place() -> None:
    with pytest.raises(UneditableError):
        with_values("a = 1\n", {("b",): 2})


def test_a_key_more_is_written_anew_where_no_remark_is_lost() -> None:
    after = BEFORE.model_copy(update={"result": RESULT})
    assert rewritten(to_toml(BEFORE), BEFORE, after) == to_toml(after)
    with pytest.raises(UneditableError):
        rewritten(samples.TEST + "# the hose was new\n", BEFORE, after)


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=30).filter(str.strip))
def test_any_text_can_take_the_place_of_another(text: str) -> None:
    remark = samples.TEST.replace("comfort = 4", "comfort = 4  # of 5")
    changed = with_values(remark, {("observations", "notes"): text})
    assert tomllib.loads(changed)["observations"]["notes"] == text
    assert with_values(changed, {("observations", "notes"): "The right side sat well."}) == remark
