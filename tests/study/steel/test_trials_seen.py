"""Trials are counted each once, and stand in the order of their days."""

import pytest

from edgetest.doubts import codes
from edgetest.study.steel.evidence_words import trial_line
from edgetest.study.steel.steel_rows import SteelRows
from edgetest.study.steel.trials_seen import (
    trials_seen,
    trials_that_hit,
    trials_told_twice,
    trials_too_short,
)

CHIP = {"coupon": "A1", "heat": 1, "test": "chop", "edge": "chipped"}


def rows(*trials):
    return SteelRows(trials=trials)


def test_a_chip_told_twice_counts_once_and_is_said():
    twice = rows(CHIP, CHIP)
    assert len(trials_seen(twice, {}, ())) == 1
    found = list(trials_told_twice(twice, {}))
    assert codes(found) == ("trial_told_twice",)
    assert "piece 1, A1, heat 1 stands twice" in found[0].text


@pytest.mark.parametrize("more", [{"temper_c": 190}, {"day": "2026-11-28"}, {"result": "worse"}])
def test_a_chip_of_another_temper_or_day_is_another(more):
    two = rows(CHIP, {**CHIP, **more})
    assert len(trials_seen(two, {}, ())) == 2
    assert list(trials_told_twice(two, {})) == []


@pytest.mark.parametrize("day", ["14/11/2026", "14 nov 2026", "Nov. 14, 2026"])
def test_a_chip_told_again_with_its_day_otherwise_written_is_the_same(day):
    twice = rows({**CHIP, "day": "2026-11-14"}, {**CHIP, "day": day})
    assert len(trials_seen(twice, {}, ())) == 1
    assert codes(trials_told_twice(twice, {})) == ("trial_told_twice",)


def test_trials_stand_in_the_order_of_their_days_and_without_one_where_they_stand():
    told = (("chipped", "2026-11-28"), ("rolled", ""), ("sound", "2026-11-02"), ("broke", "2.11."))
    seen = trials_seen(rows(*({**CHIP, "edge": edge, "day": day} for edge, day in told)), {}, ())
    assert [one.edge for one in seen] == ["sound", "rolled", "chipped", "broke"]


def test_a_chop_of_one_stroke_is_said_to_tell_nothing_yet():
    sound = {**CHIP, "edge": "sound", "result": "same"}
    one, enough, chipped = (rows({**row, "strokes": n}) for row, n in
                            ((sound, 1), (sound, 30), (CHIP, 1)))  # fmt: skip
    (found,) = trials_too_short(trials_seen(one, {}, ()))
    assert "A1, heat 1 is of 1 stroke: that says nothing yet of a whole edge" in found.text
    later = rows({**sound, "strokes": 1}, {**sound, "strokes": 80})
    assert list(trials_too_short(trials_seen(later, {}, ()))) == []
    assert not [*trials_too_short(trials_seen(enough, {}, ())),
                *trials_too_short(trials_seen(chipped, {}, ()))]  # fmt: skip


def test_damage_that_a_nail_did_is_said_to_count_neither_way_and_a_break_to_count():
    nail = rows({**CHIP, "hit": "a nail", "strokes": 4}, {**CHIP, "edge": "broke", "hit": "a nail"})
    seen = trials_seen(nail, {}, ())
    chip, broke = trials_that_hit(seen)
    assert (
        "The edge of A1, heat 1 chipped on a nail, as you wrote, so that trial counts" in chip.text
    )
    assert "The blade A1, heat 1 broke on a nail" in broke.text
    assert list(trials_too_short(seen)) == []
    assert "edge chipped on a nail, so it counts neither way" in trial_line(seen[0])
    assert "4 strokes" in trial_line(seen[0])


def test_a_run_of_an_edge_found_badly_sharpened_counts_neither_way_unless_it_stood_or_broke():
    poor = {**CHIP, "edge": "rolled", "poor_edge": "a wire edge"}
    stood = {**poor, "edge": "sound", "result": "same"}
    seen = trials_seen(rows(poor, {**poor, "edge": "broke"}, stood), {}, ())
    (first,) = trials_that_hit(seen[:1])
    assert "A1, heat 1 was badly sharpened (a wire edge), as you wrote, so that trial" in first.text
    assert first.text.endswith("as the known blade is, and run it once more beside that.")
    (first,) = trials_that_hit(seen)  # the break and the run that stood both count
    assert first.text.endswith("neither for nor against the steel.")  # it was run again since
    assert "edge rolled badly sharpened" not in trial_line(seen[0])
    assert "edge rolled, badly sharpened (a wire edge), so it counts neither" in trial_line(seen[0])
    assert "neither way" not in trial_line(seen[1]) + trial_line(seen[2])
    short = trials_seen(rows({**poor, "edge": None, "result": "worse"}), {}, ())
    assert "edge badly sharpened (a wire edge), so it counts neither way" in trial_line(short[0])
    with pytest.raises(ValueError, match="a wire edge: no edge was worn in that trial"):
        rows({**poor, "test": "brass rod"})


@pytest.mark.parametrize("other", [{"edge": "sound"}, {"test": "brass rod"}])
def test_a_nail_that_did_no_damage_to_an_edge_at_work_is_refused(other):
    with pytest.raises(ValueError, match="a nail hurt no edge in a chop or on rope"):
        rows({**CHIP, "hit": "a nail", **other})
