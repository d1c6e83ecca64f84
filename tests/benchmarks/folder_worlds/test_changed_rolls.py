"""The world of rolls that ran out against its own files, and its judge against plants."""

import csv
from itertools import pairwise
from math import inf, log

import numpy as np
import pytest

from tests.benchmarks.folder_worlds.changed_rolls_drawn import (
    CYCLE,
    FALLS,
    KINDS,
    ROLL_SDS,
    case_of_seed,
    drawn_rolls_study,
    drawn_shape,
    rise_um,
)
from tests.benchmarks.folder_worlds.changed_rolls_folder import (
    cut_by_roll,
    wear_made,
    write_changed_rolls,
)
from tests.benchmarks.folder_worlds.held_shares import answer
from tests.benchmarks.folder_worlds.judge_changed_rolls import (
    HEAD,
    cells_of_rolls,
    rolls_marks,
    row_of_rolls,
    rows_of_rolls,
)

SEEDS = (2, 3, 22, 12, 28)  # alike; parted at stages; between them; one; the first roll in block


@pytest.fixture(scope="module", params=SEEDS)
def rolls_study(request, tmp_path_factory):
    folder, truth = write_changed_rolls(request.param, tmp_path_factory.mktemp("rolls"))
    rows = list(csv.DictReader((folder / "log.csv").read_text("utf-8").splitlines()))
    return truth, rows


def drawn_of_fall(fall):
    found = [drawn_rolls_study(seed) for seed in range(1, 200) if case_of_seed(seed)[0] == fall]
    assert len(found) > 60
    return found


def share_first(made, treatment):
    last = made.stages[-1]
    names = [n for n, one in made.blades.items() if one["treatment"] == treatment]
    return np.mean([cut_by_roll(made, n, 0, last)[0] / last for n in names])


def test_every_case_comes_once_in_each_half_of_a_cycle():
    for half in (1, 2):
        cases = [case_of_seed(seed) for seed in range(half, CYCLE + 1, 2)]
        assert len(set(cases)) == len(cases) == len(FALLS) * len(ROLL_SDS) * 2


@pytest.mark.parametrize("kind", KINDS)
def test_an_edge_widens_fast_at_first_and_slower_then(kind):
    rng = np.random.default_rng(5)
    laws = [law for law in (drawn_shape(rng) for _ in range(60)) if law["kind"] == kind]
    for law in laws:
        widths = rise_um(law, np.linspace(0, 2, 40))
        assert widths[0] == 0
        steps = np.diff(widths)
        assert (steps > 0).all()
        assert (np.diff(steps) < 0).all()
        assert 7 <= rise_um(law, 1.0) <= 20


def test_rolls_that_fall_alike_change_at_the_same_stages_of_every_blade():
    for made in drawn_of_fall("alike"):
        (at,) = set(made.changes.values())
        assert at
        assert set(at) <= set(made.stages[1:-1].tolist())


def test_one_blade_alone_changes_its_roll_within_its_run():
    for made in drawn_of_fall("one"):
        ((at,),) = [each for each in made.changes.values() if each]
        assert 0 < at < made.stages[-1]


def test_parted_rolls_are_mostly_cut_by_one_treatment_each_and_change_within_a_run():
    first = set()
    for made in drawn_of_fall("parted"):
        apart = share_first(made, "A") - share_first(made, "B")
        assert abs(apart) > 0.1
        first.add(apart > 0)
        assert any(0 < at < made.stages[-1] for (at,) in made.changes.values())
    assert first == {True, False}


def test_the_rolls_scatter_as_their_order_says():
    for sd in ROLL_SDS:
        found = [drawn_rolls_study(s) for s in range(1, 400) if case_of_seed(s)[1] == sd]
        wear = np.log(np.concatenate([made.roll_wear for made in found]))
        assert np.std(wear) == pytest.approx(sd, rel=0.15)  # some 270 rolls


def test_wear_is_the_cuts_on_each_roll_times_that_rolls_own():
    made = drawn_rolls_study(22)
    made.changes["A1"], made.roll_wear = (40,), np.array([1.0, 1.5])
    scale = made.blades["A1"]["scale_cuts"]
    assert wear_made(made, "A1", 30) * scale == pytest.approx(30)
    assert wear_made(made, "A1", 100) * scale == pytest.approx(40 + 1.5 * 60)


def test_the_log_names_the_roll_that_cut_most_of_the_way_to_each_stage(rolls_study):
    truth, rows = rolls_study
    for name, blade in truth["blades"].items():
        mine = [row for row in rows if row["blade"] == name]
        assert [int(row["cuts"]) for row in mine] == truth["stages"]
        named = [int((row["batch"] or row["block"]).removeprefix("roll ")) for row in mine]
        assert named == blade["roll_of_stage"]
        if truth["written"] != "batch":
            assert {row["block"] for row in mine} == {f"roll {named[0]}"}
        for at in blade["changed_at_cuts"]:
            before, after = (
                roll
                for (low, high), pair in zip(
                    pairwise(truth["stages"]), pairwise(blade["roll_of_stage"]), strict=True
                )
                for roll in pair
                if low <= at < high
            )
            assert after == before + 1 or (after == before and truth["ended_between_stages"])


def test_a_blade_is_dull_between_the_stages_whose_true_widths_hold_the_limit(rolls_study):
    truth, rows = rolls_study
    off = []
    for name, blade in truth["blades"].items():
        width, cuts = blade["true_width_um"], blade["cuts_to_limit"]
        after = sum(1 for each in width if each < truth["limit_um"])
        if after == len(width):
            assert cuts is None or cuts > truth["stages"][-1]
        else:
            assert truth["stages"][after - 1] < cuts <= truth["stages"][after] + 0.001
        typed = [float(row["edge_width_um"]) for row in rows if row["blade"] == name]
        off += [log(read / true) for read, true in zip(typed, width, strict=True)]
    assert np.std(off) == pytest.approx(truth["sd_reading"], rel=0.4)
    median = truth["median_life"]
    assert truth["ratio_median_lives"] == pytest.approx(median["B"] / median["A"], rel=1e-3)


def told_ratio(low, high, *, first="A", hangs_on=(), codes=()):
    return {
        "first": first,
        "ratio": {"estimate": None, "low": low, "high": high},
        "practical": {"hangs_on": list(hangs_on)},
        "doubts": [{"code": code} for code in codes],
    }


def planted_truth(ratio, *, apart=0.0):
    first = {"A": 0.5 + apart / 2, "B": 0.5 - apart / 2}
    return {"ratio_median_lives": ratio, "share_on_first_roll": first}


@pytest.mark.parametrize(
    ("true", "told", "held", "false"),
    [
        (1.5, told_ratio(1.2, 1.8), True, False),
        (1.5, told_ratio(1.2, 1.8, first="B"), False, True),
        (1.5, told_ratio(0.5, 0.8, first="B"), True, False),
        (1.0, told_ratio(1.1, None), False, True),
        (1.0, told_ratio(0.9, None), True, None),
        (1.3, told_ratio(None, 0.9), False, True),
    ],
)
def test_the_judge_marks_planted_ratios(true, told, held, false):
    marks = rolls_marks(planted_truth(true), told)
    assert marks["ratio"] == [held]
    assert marks["parts falsely"] == marks["said falsely"] == ([] if false is None else [false])
    assert marks["missed"] == ([] if held else [False])
    assert marks["width"][0] < inf or None in told["ratio"].values()


def test_what_hangs_on_something_is_not_said_and_what_is_not_answered_is_missed():
    hung = told_ratio(1.2, 1.8, hangs_on=["what the rolls differ by"])
    marks = rolls_marks(planted_truth(1.0), hung)
    assert (marks["parts"], marks["said"]) == ([True], [False])
    marks = rolls_marks(planted_truth(1.0), None)
    assert (marks["ratio"], marks["parts"], marks["said"]) == ([False], [False], [False])


def test_a_word_on_the_rolls_is_counted_by_whether_they_were_shared():
    warned = told_ratio(1.2, 1.8, codes=["rolls_not_shared"])
    assert rolls_marks(planted_truth(1.0, apart=0.2), warned)["uneven"] == [True]
    assert rolls_marks(planted_truth(1.0, apart=0.05), warned)["even"] == [True]
    assert rolls_marks(planted_truth(1.0), warned)["missed"] == [True]
    assert rolls_marks(planted_truth(1.0, apart=-0.2), told_ratio(0.5, 2.0))["uneven"] == [False]


def test_a_study_is_judged_by_what_the_command_tells(tmp_path):
    folder, truth = write_changed_rolls(3, tmp_path)
    told = answer("compare", str(folder), "--workers", "1")
    marks = rolls_marks(truth, told)
    assert marks["ratio"] == [True]
    assert marks["uneven"] == [True]
    rows = rows_of_rolls([(row_of_rolls(truth), "all, rolls in both", 3, marks)])
    names = ["0.05, a roll mostly to each treatment", "all", "all, rolls in both"]
    assert [row for row, _ in rows] == [(name, "odd") for name in names]
    assert all(len(cells_of_rolls(*row)) == len(HEAD) for row in rows)
