"""One row of evidence is taken out at the prompt: the one that is meant, or none."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.history import read_history
from edgetest.store.records import load_study
from edgetest.study.enter_rows import change_told, enter, undo_row
from edgetest.study.steel.enter_evidence import KNOWN
from edgetest.study.steel.take_evidence import take_evidence
from tests.study.steel.found_steel import PIECE, make_study

ROWS = """
[[evidence.heats]]
coupon = "A1"
medium = "oil" # of a tin
hardness = ["60-65", 58]

[[evidence.heats]]
piece = "leaf"
coupon = "A1"
medium = "water"

[[evidence.tempers]]
coupon = "A1"
heat = 2
temperature_f = 400

[[evidence.trials]]
coupon = "A2"
test = "chop"
edge = "took_a_set"
"""


@pytest.fixture
def leaf(tmp_path):
    return make_study(tmp_path / "s", evidence=PIECE + ROWS)


def rows(folder, table):
    return list((load_study(folder).evidence or {}).get(table, ()))


def refused(folder, table, words, **cells):
    before = (folder / "study.toml").read_bytes()
    with pytest.raises(UnusableInput, match=words):
        take_evidence(folder, table, cells)
    assert (folder / "study.toml").read_bytes() == before
    assert read_history(folder) == []


@pytest.mark.parametrize(
    ("table", "cells", "told"),
    [
        ("heats", {"coupon": "A1", "heat": "2"}, "gone: piece leaf, coupon A1, medium water"),
        ("heats", {"piece": "leaf", "medium": "Oil"}, "gone: coupon A1, medium oil"),
        ("heats", {"hardness": "58 HRC"}, "gone: coupon A1, medium oil"),
        ("heats", {"hardness": ""}, "gone: piece leaf, coupon A1, medium water"),
        ("tempers", {"coupon": "A1", "temperature_c": "204.4"}, "gone: coupon A1, heat 2"),
        ("trials", {"coupon": "A2", "edge": "took a set"}, "gone: coupon A2, test chop"),
    ],
)
def test_the_row_that_says_it_all_goes_stays_in_the_history_and_comes_back(
    leaf, table, cells, told
):
    if table == "heats":
        take_evidence(leaf, "tempers", {"coupon": "A1"})
    stood, text = rows(leaf, table), (leaf / "study.toml").read_text("utf-8")
    change = take_evidence(leaf, table, cells)
    (gone,) = [row for row in stood if row not in rows(leaf, table)]
    assert f"evidence, {table}: {told}" in change_told(leaf, change)
    assert gone in read_history(leaf)[-1].before[f"evidence, {table}"]
    assert "# of a tin" in text
    assert undo_row(leaf) == change
    assert rows(leaf, table) == stood


def test_none_or_several_rows_are_refused_with_those_that_may_be_meant(leaf):
    refused(leaf, "heats", r"none of the heats says all.*heats 1 \(coupon A1, medium oil",
            coupon="A1", medium="air")  # fmt: skip
    refused(leaf, "heats", r"2 heats say all of it.*heats 1 \(.*heats 2 \(.*behind its =",
            coupon="A1")  # fmt: skip
    refused(leaf, "heats", "none of the heats.*edgetest history", coupon="Z")
    refused(leaf, "tempers", "none of the tempers", coupon="A1", temperature_c="210")
    refused(leaf, "heats", '"mediun" is not a key of heats; did you mean medium', mediun="oil")
    refused(leaf, "trials", "none of the trials", edge="")


def test_of_rows_that_are_alike_the_last_goes(leaf):
    for medium in ("air", "oil"):
        enter(leaf, {"coupon": "A3", "medium": medium}, evidence="heats")
    enter(leaf, {"coupon": "A3", "medium": "air"}, evidence="heats")
    change = enter(leaf, {"coupon": "A3", "medium": "air"}, evidence="heats", remove=True)
    assert [row["medium"] for row in rows(leaf, "heats")] == ["oil", "water", "air", "oil"]
    assert change_told(leaf, change).endswith("gone once: coupon A3, medium air")


def test_a_known_steel_goes_where_it_is_named(leaf):
    enter(leaf, {"known_low": "mild bar", "known_high": "a file"}, evidence=KNOWN)
    with pytest.raises(UnusableInput, match='known_low says "mild bar", not "bar"'):
        take_evidence(leaf, KNOWN, {"known_low": "bar"})
    with pytest.raises(UnusableInput, match="note says nothing"):
        take_evidence(leaf, KNOWN, {"note": "x"})
    take_evidence(leaf, KNOWN, {"known_low": "mild bar"})
    assert {"known_low", "known_high"} & set(load_study(leaf).evidence) == {"known_high"}


def test_a_row_of_the_log_and_a_row_to_replace_are_refused(leaf):
    with pytest.raises(UnusableInput, match=r"not one of a log.*edge_width_um="):
        enter(leaf, {"blade": "X1"}, remove=True)
    with pytest.raises(UnusableInput, match="give one of them"):
        enter(leaf, {"coupon": "A1"}, evidence="heats", remove=True, replace=True)


def test_a_faulty_row_can_be_taken_out(leaf):
    text = (leaf / "study.toml").read_text("utf-8")
    faulty = '\n[[evidence.heats]]\ncoupon = "B1"\nmedium = "olive"\n'
    (leaf / "study.toml").write_text(text + faulty, "utf-8")
    take_evidence(leaf, "heats", {"coupon": "B1", "medium": "olive"})
    assert len(rows(leaf, "heats")) == 2
