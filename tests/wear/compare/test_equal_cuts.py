"""Readings at equal cuts: which cuts, the ratio, and how it is said."""

import numpy as np
import pytest

from edgetest.stats.group_sequential import look_bounds
from edgetest.study.wear.alternative_answers import finding_at_cuts
from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.compare.equal_cuts import Measure, compare_at_cuts, log_of_sum, shared_cuts
from edgetest.wear.compare.looks import Looks
from edgetest.wear.compare.replicates import lives_known

WIDTH = Measure("the edge of {one} is {ratio} times as wide as that of {other}", "edge width")
CARD = Measure("{one} cuts {ratio} times as much card as {other}", "card cut", -1)
SIDES = ["soft"] * 3 + ["hard"] * 3
BLADES = ["a", "b", "c", "d", "e", "f"]


def at_200(readings, measure=WIDTH, sides=SIDES, **options):
    """Readings of so many blades at 200 cuts, compared."""
    columns = lives_known(BLADES[: len(sides)], sides, np.log(readings))
    return compare_at_cuts(columns, 200, measure, ComparisonOptions(**options))


def test_ratio_is_student_s_of_log_readings():
    found = at_200([10, 11, 12.1, 8, 8.8, 9.68])
    assert found.ratio.estimate == pytest.approx(0.8)
    # pooled SD of the logs log(1.1), t(0.975, 4) = 2.776445 (any table)
    half = 2.776445 * np.log(1.1) * np.sqrt(2 / 3)
    assert found.ratio.low == pytest.approx(0.8 * np.exp(-half), rel=1e-6)
    assert found.ratio.high == pytest.approx(0.8 * np.exp(half), rel=1e-6)


def test_narrower_edge_is_the_better_one_and_named_first():
    found = at_200([10, 10.1, 10.2, 8, 8.1, 8.2])
    assert found.verdict == "second"
    assert found.sentences()[0].startswith("At 200 cuts the edge of hard is 0.802 (")
    assert found.sentences()[1] == "Hard is the better there, by more than 10 % in edge width."
    turned = at_200([8, 8.1, 8.2, 10, 10.1, 10.2])
    assert turned.verdict == "first"
    assert turned.ratio.estimate == pytest.approx(1 / found.ratio.estimate)
    assert turned.sentences()[0].startswith("At 200 cuts the edge of soft is 0.802 (")


def test_of_one_batch_a_side_it_is_the_batch_that_is_the_better():
    read = np.log([10, 10.1, 10.2, 8, 8.1, 8.2])
    columns = lives_known(BLADES, SIDES, read, batch=["load 1"] * 3 + ["load 2"] * 3)
    first, second = compare_at_cuts(columns, 200, WIDTH).sentences()
    assert first.startswith("At 200 cuts the edge of the batch of hard is 0.802 (")
    assert "as wide as that of the batch of soft" in first
    assert second.startswith("The batch of hard is the better there")


def test_at_a_look_the_interval_says_over_how_many_looks_it_holds():
    looks = Looks(look_bounds((3, 4, 5)))
    found = at_200([10, 11, 12.1, 8, 8.8, 9.68], looks=looks)
    assert found.sentences()[0].endswith("(95 % interval over all 3 looks).")
    assert finding_at_cuts(found).says.endswith(") times as wide as that of {first}")
    assert at_200([10, 11, 12.1, 8, 8.8, 9.68]).sentences()[0].endswith("(95 % interval).")


def test_more_card_is_better():
    found = at_200([10, 10.1, 10.2, 8, 8.1, 8.2], CARD)
    assert found.verdict == "first"
    assert found.sentences()[0].startswith("At 200 cuts soft cuts 1.247 (")


def test_alike_within_the_margin():
    found = at_200([10, 10.1, 10.2, 10.1, 10.2, 10.0])
    assert found.verdict == "alike"
    assert found.to_dict()["better"] == "alike"


def test_a_margin_in_life_is_turned_into_one_of_the_reading():
    """Where widths run as the cuts to the half, a life 10 % longer reads 1.1 ** 0.5 apart."""
    columns = lives_known(BLADES, SIDES, np.log([10, 10.3, 10.6, 10.4, 10.7, 10.2]))
    asked = ComparisonOptions(margin=0.1)
    of_width = compare_at_cuts(columns, 200, WIDTH, asked)
    assert of_width.verdict == "alike"  # to 10 % in width: some 21 % of a life
    assert of_width.sentences()[1].endswith(
        "alike to within 10 % in edge width, which may be a larger share of a life."
    )
    assert of_width.to_dict()["life_margin"] is None
    found = compare_at_cuts(columns, 200, WIDTH, asked, 0.5)
    assert found.comparison.practical.margin == pytest.approx(1.1**0.5 - 1)
    assert found.verdict == "cannot_tell"
    assert found.to_dict()["life_margin"] == 0.1
    alike = compare_at_cuts(columns, 200, WIDTH, ComparisonOptions(margin=0.21), 0.5)
    assert alike.sentences()[1].endswith(
        "alike to within 10 % in edge width (by the curves 21 % of a life)."
    )


def test_one_blade_a_side_claims_nothing_of_heat_treatments():
    columns = lives_known(["a", "b"], ["soft", "hard"], np.log([10, 5]), [0.02, 0.02])
    found = compare_at_cuts(columns, 50, WIDTH)
    assert found.to_dict()["better"] == "cannot_tell"
    assert "edge of b is 0.500 (" in found.summary()
    assert "not about the heat treatments hard and soft" in found.summary()


@pytest.mark.parametrize(
    ("last", "cuts"),
    [
        ([400, 400, 400, 400, 400, 400], 400),
        ([400, 400, 300, 400, 350, 400], 300),  # the last that all reached
        ([400, 400, 50, 400, 350, 400], 350),  # one was stopped early: two a side reached 350
        ([400, 60, 50, 400, 350, 400], 50),  # no two of soft reached twice as many
        ([0, 0, 0, 400, 400, 400], 0),
    ],
)
def test_cuts_that_blades_share(last, cuts):
    assert shared_cuts(last, SIDES) == cuts


def test_log_of_a_sum_and_its_error():
    value, error = log_of_sum([3.0, 4.0], 0.1)
    assert value == pytest.approx(np.log(7))
    assert error == pytest.approx(0.1 * 5 / 7)  # independent errors of 0.3 and 0.4
