"""The protocol's limit on chips at the bench: new chips alone reach it."""

import pytest

from edgetest.store.journal import append_reading
from edgetest.store.workspace import new_study
from edgetest.study.bench.chips_standing import chips_past
from edgetest.study.bench.chop_actions import waiting_chops
from edgetest.study.sources import open_source
from tests.study.bench.test_chop_actions import do, now, read

BILLET = {"width_mm": "50", "thickness_mm": "50", "chops": "9", "kind": "billet", "blade": "H1"}


@pytest.fixture
def folder(tmp_path):
    new_study(tmp_path / "chop", "billet_chop", "Two hatchets", blades=("H1", "H2"))
    return tmp_path / "chop"


def past(folder):
    return chips_past(open_source(folder), "H1")


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [("0", "0", None), ("2", "2", None), ("2", "3", "1 new chip seen"), ("0", "2", "2 new chips")],
)
def test_chips_that_were_there_before_the_test_do_not_count(folder, before, after, said):
    do(folder, read, {"chips_count": before, "rolls_count": "0"})
    append_reading(folder, BILLET | {"order": "9", "chips_count": after}, table="chops")
    found = past(folder)
    assert found is None if said is None else found.summary().startswith(said)


def test_chips_of_an_edge_nobody_looked_at_before_may_be_old_and_a_touch_up_ends_them(folder):
    assert past(folder) is None
    append_reading(folder, BILLET | {"order": "9", "chips_count": "1"}, table="chops")
    assert "new or old" in past(folder).summary()
    append_reading(folder, {"blade": "H1", "kind": "touch-up"}, table="chops")
    assert past(folder) is None
    append_reading(folder, BILLET | {"order": "10", "chips_count": "2"}, table="chops")
    assert past(folder).summary().startswith("2 chips seen, new or old")


@pytest.mark.parametrize(("own", "whose"), [("", "protocol"), ("limit = 2\n", "study")])
def test_a_limit_is_the_protocol_s_or_the_study_s_own(folder, own, whose):
    kept = (folder / "study.toml").read_text(encoding="utf-8")
    text = kept.replace("protocol = ", f"{own}protocol = ", 1)
    (folder / "study.toml").write_text(text, encoding="utf-8")
    append_reading(folder, BILLET | {"order": "9", "chips_count": "2"}, table="chops")
    assert f"; the {whose} takes an edge as done at " in past(folder).summary()


def test_a_look_says_whether_it_comes_before_or_after_the_strokes_of_its_tool(folder):
    looks = [
        row.line for row in waiting_chops(open_source(folder))
        if (row.blade, row.kind) == ("H2", "inspection")
    ]  # fmt: skip
    assert now(folder, line=looks[-1]).summary() == "Blade H2, look at the edge after the test"
    assert now(folder, line=looks[0]).summary() == "Blade H2, look at the edge before the test"
