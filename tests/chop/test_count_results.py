"""What a ratio of choppers and a scatter of counts are called."""

from math import inf

import pytest

from edgetest.chop.count_results import BladeRatio, ChopCounts, Dispersion, loss_parts
from edgetest.estimate import Estimate


@pytest.mark.parametrize(
    ("low", "high", "says"),
    [
        (0.5, 0.9, "A takes fewer strokes"),
        (1.1, 2.0, "A takes more strokes"),
        (0.9, 1.1, "the two cannot be told apart"),
        (0.9, 1.0, "the two cannot be told apart"),
        (1.0, 1.1, "the two cannot be told apart"),
    ],
)
def test_the_verdict_follows_from_where_the_interval_lies(low, high, says):
    ratio = BladeRatio("A", "B", "chops", Estimate(1.0, low, high, ""), 0.5, "blades")
    assert ratio.summary().endswith(says)
    tools = BladeRatio("A", "B", "chops", Estimate(1.0, low, high, ""), 0.5, "tools")
    assert tools.summary().endswith(f"{says}; of these tools only, not of the heat treatments")


@pytest.mark.parametrize(
    ("quantity", "less", "more"),
    [
        ("depth per chop", "A goes less deep", "A goes deeper"),
        ("loss of depth per 100 chops", "A loses less", "A loses more"),
        ("chips per 100 mm", "A chips less", "A chips more"),
        ("rolls per 100 mm", "A rolls less", "A rolls more"),
    ],
)
def test_the_verdict_says_it_of_the_quantity(quantity, less, more):
    for (low, high), says in (((0.5, 0.9), less), ((1.1, 2.0), more)):
        ratio = BladeRatio("A", "B", quantity, Estimate(1.0, low, high, ""), 0.5, "blades")
        assert ratio.summary().endswith(says)


@pytest.mark.parametrize("end", ["low", "high"])
def test_an_interval_that_leaves_one_out_is_seen_to(end):
    ends = {"low": (1.004, 3.0), "high": (0.4, 0.9971)}[end]
    ratio = BladeRatio("A", "B", "chops", Estimate(1.7 if end == "low" else 0.76, *ends, ""), 0.5,
                       "blades")  # fmt: skip
    assert {"low": "(1.004 to 3.000)", "high": "(0.400 to 0.997)"}[end] in ratio.summary()


def test_a_dispersion_is_told_as_an_estimate_where_there_is_one():
    told = Dispersion(12.0, 8.0, 1.4, 0.2, 0.8, "moderated").to_dict()
    assert told["estimate"] == pytest.approx(1.5)
    assert Dispersion(0.3, 0.4, 1.0, 0.5, 0.5, "moderated").to_dict()["estimate"] is None
    assert Dispersion(0.3, 0.5, 1.0, 0.5, 0.5, "").to_dict()["estimate"] == pytest.approx(0.6)


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        ((-5, -48, 73), "5 % fewer chops per 100 chops (48 % fewer to 73 % more)"),
        ((36, -24, 144), "36 % more chops per 100 chops (24 % fewer to 144 % more)"),
        ((40, 20, inf), "40 % more chops per 100 chops (from 20 % more, with no upper end)"),
        ((0, -100, inf), "0 % more chops per 100 chops (from 100 % fewer, with no upper end)"),
    ],
)
def test_a_fall_is_said_as_fewer_chops_and_not_as_less_than_no_more(ends, told):
    loss = Estimate(*ends, "% more chops per 100 chops")
    chance = Dispersion(12.0, 8.0, 1.4, 0.2, 0.8, "moderated")
    words = ChopCounts((), (), (), chance, None, loss, None, "", 0.0, 0.95, ()).dulling_words()
    assert words.startswith(f"as the test went on, {told}, of all tools together")


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        ((8.8, -0.17, 18.5), "0.2 % fewer to 18.5 % more"),
        ((8.8, 0.17, 18.5), "0.17 % more to 18 % more"),
        ((-8.8, -18.5, 0.17), "18.5 % fewer to 0.2 % more"),
        ((8.8, -2.1, 19.4), "2 % fewer to 19 % more"),
    ],
)
def test_an_end_near_none_stands_on_its_own_side_of_it(ends, told):
    assert loss_parts(Estimate(*ends, "% more chops per 100 chops"))[1] == told
