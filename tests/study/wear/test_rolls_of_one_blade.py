"""A roll that one blade alone met is told beside the answer, with how far it could move it."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.store.log_rows import LogRow
from edgetest.study.wear.unshared_rolls import rolls_of_lives
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import AS_USUAL, ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import lives_known

STAGES = (0, 50, 100, 150, 200, 250)
LIVES = {"A": (200, 190, 210, 204), "B": (240, 228, 252, 246)}  # 1.2 times as long


def told(damp, lives=LIVES, options=AS_USUAL, left_out=()):
    """What is said of rolls; `damp` are the cuts between which a blade was cut on the damp roll.

    `left_out` are blades whose stages beyond 50 cuts are left out.
    """
    names = [f"{side}{i}" for side, each in lives.items() for i in range(len(each))]

    def roll(name, cuts):
        first, last = damp.get(name, (999, 0))
        return "damp" if first < cuts <= last else "roll 1"

    rows = [
        LogRow(
            k, name, cuts, readings={"w": 1}, batch=roll(name, cuts),
            exclude="on another roll" if name in left_out and cuts > 50 else "",
        )
        for k, (name, cuts) in enumerate((name, cuts) for name in names for cuts in STAGES)
    ]  # fmt: skip
    used = [
        SimpleNamespace(line=r.line, run=r.blade, blade=r.blade, block=r.block)
        for r in rows if not r.exclude
    ]  # fmt: skip
    logs = np.log([life for of in lives.values() for life in of])
    columns = lives_known(names, [name[0] for name in names], logs)
    answered = Answered(compare_lives(columns, options), columns, options)
    log = SimpleNamespace(rows=rows)
    _, doubts = rolls_of_lives(log, used, names, answered, {"A": "soft", "B": "hard"})
    return [one for one in doubts if one.code == "roll_of_one_blade"]


def test_one_blade_s_roll_is_told_with_the_ratio_it_could_give():
    (one,) = told({"B1": (50, 150)})
    assert (one.where.blade, one.gravity) == ("B1", "limits")
    assert "It alone was cut on damp, 45 % of the first 220 cuts (the mean life, or" in one.text
    # 0.15 on the log scale for all of its cutting, 100 cuts of 220, of one blade of four
    by = np.exp(0.15 * 100 / 220 / 4)
    ratio = np.exp(np.mean(np.log(LIVES["B"])) - np.mean(np.log(LIVES["A"])))
    assert f"the ratio of lives is {ratio / by:.3g} or {ratio * by:.3g}. Cut" in one.text


def test_the_ratio_is_told_of_the_one_that_lasts_longer():
    turned = {"A": LIVES["B"], "B": LIVES["A"]}
    (one,) = told({"A1": (50, 150)}, turned)
    (other,) = told({"B1": (50, 150)})
    assert one.text == other.text.replace("B1", "A1")


def test_where_the_verdict_would_be_another_that_is_told():
    near = {"A": (200, 190, 210, 204), "B": (216, 205, 227, 221)}
    (one,) = told({"B0": (0, 250)}, near)
    assert "and one of these would say: cannot tell which lasts longer. Cut" in one.text
    (one,) = told({"B1": (50, 150)})
    assert "would say" not in one.text


@pytest.mark.parametrize("damp", [{}, {"B1": (50, 100), "A1": (50, 100)}, {"B1": (0, 10)}])
def test_no_such_roll_one_that_two_met_or_a_short_piece_of_it_is_not_told(damp):
    assert told(damp) == []


def test_a_roll_that_the_control_blade_met_was_measured():
    lives, options = {**LIVES, "C": (200,)}, ComparisonOptions(control="C0")
    assert told({"B1": (50, 150)}, lives, options)
    assert told({"B1": (50, 150), "C0": (50, 150)}, lives, options) == []
    assert told({"C0": (50, 150)}, lives, options) == []


def test_one_blade_each_is_an_answer_about_blades():
    assert told({"B0": (50, 150)}, {"A": (200,), "B": (240,)}) == []


def test_a_stretch_on_a_roll_of_its_own_that_is_left_out_is_in_no_life():
    assert told({"B1": (50, 250)})
    assert told({"B1": (50, 250)}, left_out=("B1",)) == []
    assert told({"B1": (0, 50)}, left_out=("B1",))  # what was cut before counts


def test_a_range_with_two_equal_ends_is_not_printed():
    """Beside lives a thousand times as sure, a blade of many hardly moves three digits."""
    many = {"A": (200,) * 100, "B": (240,) * 100}
    assert told({"B1": (0, 50)}, many) == []
