"""Shared quench loads: they are weighed as rolls are, and what they leave open is told."""

import numpy as np
import pytest

from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.equal_cuts import Measure, compare_at_cuts
from edgetest.wear.compare.replicates import BladeLives, lives_known

BLADES = ("A1", "A2", "A3", "B1", "B2", "B3")
BY_LOAD = (140, 140, 233, 142, 221, 225)  # only the load matters


def found(lives, batch, block=("roll 1",) * 6):
    columns = {"batch": list(batch), "block": block}
    return compare_lives(lives_known(BLADES, list("AAABBB"), np.log(lives), **columns))


def said(answer, code):
    return [one.text for one in answer.doubts if one.code == code]


@pytest.mark.parametrize("block", [("roll 1",) * 6, None])
def test_where_the_load_explains_the_scatter_blades_are_compared_within_loads(block):
    answer = found(BY_LOAD, "TTHTHH", block)
    assert answer.needed is None
    assert answer.ratio.low < 1 < answer.ratio.high < 1.15 * answer.ratio.low
    [told] = said(answer, "batches_as_blocks")
    assert "T (A1, A2) 140, (B1) 142 cuts; H (A3) 233, (B2, B3) 221 to 225 cuts" in told


def test_a_heat_treatment_in_one_load_alone_is_told_with_what_would_tell():
    lives = (140, 150, 145, 190, 200, 195)
    answer, shared = found(lives, "TTTTHH"), found(lives, "TTHTHH")
    [told] = said(answer, "one_side_in_one_batch")
    assert "(A1, A2, A3) lie in the batch T, others also in H" in told
    assert told.endswith("would tell.")
    assert not said(shared, "one_side_in_one_batch")
    widths = [np.log(each.ratio.high / each.ratio.low) for each in (answer, shared)]
    assert widths[0] > widths[1]


def test_unequal_loads_beside_rolls_limit_the_answer_and_equal_ones_stand_in_its_notes():
    rolls = ("1", "2", "3") * 2
    uneven = found(BY_LOAD, "TTHTHH", rolls)
    assert "H (A3) 233, (B2, B3) 221" in said(uneven, "batches_not_weighed")[0]
    assert not said(uneven, "batches_in_scatter")
    even = found(BY_LOAD, "TTHTTH", rolls)
    assert not {"batches_not_weighed", "batches_as_blocks"} & {one.code for one in even.doubts}
    (noted,) = [one for one in even.doubts if one.code == "batches_in_scatter"]
    assert "shares: T (A1, A2) 140, (B1, B2) 142 to 221 cuts; H (A3) 233, (B3) 225" in noted.text
    assert noted.gravity == "notes"


def test_what_blades_did_on_each_roll_stands_in_the_notes():
    rolls = ("roll 1", "roll 1", "roll 2") * 2
    (noted,) = [
        one for one in found(BY_LOAD, "TTHTTH", rolls).doubts if one.code == "lives_by_block"
    ]
    assert "roll 1 (A1, A2) 140, (B1, B2) 142 to 221 cuts; roll 2 (A3) 233, (B3) 225" in noted.text
    assert noted.gravity == "notes"
    assert not said(found(BY_LOAD, "TTHTTH"), "lives_by_block")
    read = lives_known(BLADES, list("AAABBB"), np.log(BY_LOAD), block=rolls)
    (seen,) = said(compare_at_cuts(read, 100, Measure("", "edge width")), "lives_by_block")
    assert seen.startswith("Edge width by block (roll, board, day): roll 1 (A1, A2) 140,")
    assert "cuts" not in seen


def test_loads_that_were_each_cut_on_a_roll_of_their_own_are_weighed_with_it():
    rolls = ("roll 2", "roll 2", "roll 1") * 2
    answer = found(BY_LOAD, "TTHTTH", rolls)
    assert not said(answer, "batches_in_scatter")
    [told] = said(answer, "batches_fill_blocks")
    assert "of its own: T (A1, A2) 140, (B1, B2) 142 to 221 cuts; H (A3) 233, (B3) 225" in told
    uneven = found(BY_LOAD, "TTHTHH", ("2", "2", "1", "2", "1", "1"))
    assert said(uneven, "batches_fill_blocks")
    assert not said(uneven, "batches_not_weighed")


def test_a_load_whose_blade_was_stopped_holds_longer_lives_than_it_shows():
    lives = np.log([140.0, 140, 233, 142, 221, 300])
    ends = np.array([*lives[:5], np.inf])
    columns = lives_known(BLADES, list("AAABBB"), lives, batch=list("TTHTHH"))
    stopped = compare_lives(type(columns)(**{**vars(columns), "log_high": ends}))
    assert "(B2, B3) 221 to 300 or more cuts" in said(stopped, "batches_as_blocks")[0]


def test_what_the_edges_read_at_equal_cuts_is_no_life_in_cuts():
    widths, even = Measure("{one}, {other}: {ratio}", "edge width"), list("TTHTHH")
    columns = {"batch": even, "log_life": np.log([8, 8.5, 9, 10, 10.5, 11])}
    at_cuts = compare_at_cuts(lives_known(BLADES, list("AAABBB"), **columns), 400, widths)
    [told] = said(at_cuts, "batches_as_blocks")
    assert told.endswith(
        "Edge width by batch: T (A1, A2) 8 to 8.5, (B1) 10; H (A3) 9, (B2, B3) 10.5 to 11."
    )
    columns["block"] = ["1", "2", "3"] * 2
    at_cuts = compare_at_cuts(lives_known(BLADES, list("AAABBB"), **columns), 400, widths)
    assert (
        "shares: edge width of T (A1, A2) 8 to 8.5, (B1) 10;"
        in said(at_cuts, "batches_not_weighed")[0]
    )


def test_lives_known_between_two_checks_are_told_by_their_checks():
    low, high = np.log([80.0, 100, 140, 80, 140, 140]), np.log([100.0, 120, 160, 100, 160, 160])
    seen = BladeLives(BLADES, list("AAABBB"), low, high, batch=list("TTHTHH"))
    [told] = said(compare_lives(seen), "batches_as_blocks")
    assert "T (A1, A2) 80 to 120, (B1) 80 to 100 cuts; H (A3) 140 to 160, (B2, B3)" in told


def run_again(treatment, block):
    """Six blades on one roll in two loads, and one of them (or two) run again under `block`."""
    again = [k for k, name in enumerate(BLADES) if name[0] in treatment and name[1] == "2"]
    names, lives = [*BLADES, *(BLADES[k] for k in again)], [*BY_LOAD, *(BY_LOAD[k] for k in again)]
    columns = {"batch": [*"TTHTHH", *("TTHTHH"[k] for k in again)],
               "block": ["roll 1"] * 6 + [block] * len(again)}  # fmt: skip
    return compare_lives(lives_known(names, [n[0] for n in names], np.log(lives), **columns))


def test_an_edge_that_was_sharpened_again_makes_no_roll_of_its_run():
    again = run_again("B", "roll 1 again")
    assert said(again, "batches_as_blocks")
    assert not said(again, "batches_not_weighed")
    assert again.ratio.low == pytest.approx(found(BY_LOAD, "TTHTHH").ratio.low)
    (uneven,) = said(again, "incomplete_block")
    assert "unevenly over the batches: " in uneven
    assert "into every batch that" in uneven
    assert "roll" not in uneven


def test_a_second_roll_with_both_heat_treatments_is_one():
    assert said(run_again("AB", "roll 2"), "batches_not_weighed")
    rolls = found(BY_LOAD, "TTHTHH", ["1", "1", "2", "1", "2", "2"])
    assert "blocks (rolls, boards, days): " in said(rolls, "incomplete_block")[0]
