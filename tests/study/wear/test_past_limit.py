"""A blade read past the limit is never told to have been stopped before it."""

from math import nan
from types import SimpleNamespace

import pytest

from edgetest.doubts import Where, codes, doubt
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.past_limit import blades_past_limit, told_past_limit


def one_blade(widths, *, limit=12.0, beyond=True, excluded=()):
    life = SimpleNamespace(beyond_reach=beyond, limit=limit)
    readings = [
        SimpleNamespace(
            blade="A2", run="A2, roll 1", cuts=100.0 * i, value=value, lower=lower, upper=upper,
            excluded=i in excluded,
        )
        for i, width in enumerate(widths)
        for value, lower, upper in [width if isinstance(width, tuple) else (width, nan, nan)]
    ]  # fmt: skip
    return SimpleNamespace(blades=[SimpleNamespace(blade="A2, roll 1", life=life)]), readings


SLIP = (2.4, 0.0094, 13.1, 15.3)


@pytest.mark.parametrize(
    ("widths", "how", "past"),
    [
        (SLIP, {}, True),
        ((2.4, 5.0, 6.0, 7.0), {}, False),
        (SLIP, {"beyond": False}, False),
        (SLIP, {"excluded": (2, 3)}, False),
        ((90.0, 900.0, 40.0, 60.0), {"limit": 50.0}, True),  # a reading that falls to its limit
        ((90.0, 900.0, 80.0, 60.0), {"limit": 50.0}, False),
        (((nan, nan, 2.0), 3.0, 4.0, 4.8), {}, False),  # <2 when fresh: it grows to its limit
        (((nan, nan, 2.0), 3.0, 14.0, 4.8), {}, True),
        ((2.4, 5.0, (nan, 15.0, nan), 6.0), {}, True),  # >15
        ((2.4, 5.0, (nan, 9.0, 15.0), 6.0), {}, False),
        (((nan, 90.0, nan), 80.0, 70.0, 60.0), {"limit": 50.0}, False),
        (((nan, 90.0, nan), 80.0, (nan, nan, 40.0), 60.0), {"limit": 50.0}, True),
    ],
)
def test_past_the_limit_is_a_reading_that_counts_on_a_curve_beyond_reach(widths, how, past):
    found = blades_past_limit(*one_blade(widths, **how))
    assert found == ({"A2", "A2, roll 1"} if past else set())


@pytest.mark.parametrize(
    ("last", "past"), [((12.4, 11.1, 11.3), False), ((12.4, 12.6, 11.3), True)]
)
def test_one_reading_of_a_stage_past_the_limit_tells_nothing(last, past):
    """A stage of mean 11.6 with a limit of 12: to cut on is what mends it."""
    fit, readings = one_blade((2.4, 5.0, 8.0))
    more = [replace_value(readings[-1], 300.0, width) for width in last]
    assert bool(blades_past_limit(fit, [*readings, *more])) == past


def replace_value(reading, cuts, value):
    return SimpleNamespace(**{**vars(reading), "cuts": cuts, "value": value})


def test_both_doubts_that_say_it_was_stopped_become_one_that_asks_for_the_row():
    said = [
        doubt(code, where=Where(blade=blade, stage=400.0))
        for blade in ("A2", "B1")
        for code in ("beyond_reach", "life_is_a_bound")
    ]
    told = told_past_limit(said, {"A2"})
    assert codes(told) == ("read_past_limit", "beyond_reach", "life_is_a_bound")
    assert "Look first at its readings" in told[0].text
    assert "Cut on" not in told[0].text


# Invented: A2 at 200 cuts typed in mm.
WORN = {
    "A1": (2.4, 4.1, 5.8, 8.6, 11.1, 14.0), "A2": (2.4, 4.6, 6.1, 9.5, 12.5, 15.3),
    "B1": (2.4, 4.9, 7.5, 11.5, 15.0, 19.6), "B2": (2.4, 5.1, 7.6, 11.6, 16.7, 19.8),
}  # fmt: skip


def test_a_slip_of_the_unit_never_says_that_the_blade_was_stopped_short(tmp_path):
    rows = ["blade,cuts,station_mm,edge_width_um"]
    for blade, widths in WORN.items():
        for cuts, width in zip((0, 50, 100, 200, 300, 400), widths, strict=True):
            for at in (20, 40):
                slip = (blade, cuts, at) == ("A2", 200, 40)
                rows.append(f"{blade},{cuts},{at},{0.0094 if slip else width}")
    log = tmp_path / "log.csv"
    log.write_text("\n".join(rows) + "\n")
    result = analyse(open_source(log), AnalysisOptions(limit=12))
    found = result.compared.comparison.doubts
    assert "read_past_limit" in codes(result.fit["A2"].doubts)
    assert "read_past_limit" in codes(found)
    assert "beyond_reach" not in codes(result.fit["A2"].doubts)
    assert "A2" not in {one.where.blade for one in found if one.code == "life_is_a_bound"}
