"""A reading that is left out with a reason is not weighed, and stays on the page."""

import pytest

from edgetest.steel.rule_cures import KEPT_ASIDE
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.fill_in import to_fill_in
from edgetest.study.steel.readings_left_out import readings_left_out
from edgetest.study.steel.steel_rows import SteelRows, VerdictWishes
from tests.study.steel.found_steel import COUPON, make_study

SLOW = """
[[evidence.heats]]
coupon = "A1"
heat = 2
medium = "oil"
heat_c = 830
magnet = "lets go"
soak_min = 6
hardness_below = ["45-50"]
"""


def test_the_cell_that_leaves_a_reading_out_settles_the_clash_and_is_told(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=COUPON + SLOW)
    assert "This does not fit together" in run("verdict", folder)[1]
    cells = ("piece=leaf", "coupon=A1", "heat=2")
    typed = ("enter", folder, "--evidence", "heats", *cells)
    assert run(*typed, "exclude=WHY-LEFT-OUT")[0] == 2
    assert run(*typed, "exclude=late into the oil")[0] == 0
    out = run("verdict", folder)[1]
    assert "This does not fit together" not in out
    told = "Left out of the count, of coupon A1 of leaf, heat 2: 45-50 below the skin (late into"
    assert told in out
    text = (folder / "study.toml").read_text(encoding="utf-8")
    assert 'hardness_below = ["45-50"]' in text


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ({"pieces": [{"id": "A", "hardness": [61.5], "exclude": "why"}]},
         "of A, as found: 61.5 (why)"),
        ({"heats": [{"blade": "K", "hardness": [61], "exclude": "why"}]}, "of blade K: 61 (why)"),
        ({"heats": [{"coupon": "a", "exclude": "why"}]}, "coupon a of A: no reading (why)"),
        ({"tempers": [{"coupon": "a", "heat": 2, "temperature_c": 200, "hardness_skin": ["50-55"],
                       "exclude": "why"}]},
         "coupon a of A, heat 2, after 200 °C: 50-55 on the skin (why)"),
    ],
)  # fmt: skip
def test_each_row_of_readings_may_be_left_out(row, told):
    rows = SteelRows.model_validate({"pieces": [{"id": "A"}], **row})
    (one,) = readings_left_out(rows)
    assert told in one.text
    if any(heat.blade for heat in rows.heats):
        return  # that blade is not listed here
    seen = steel_seen_of(rows, VerdictWishes()).seen
    read = [*seen.pieces, *seen.heats, *(t for heat in seen.heats for t in heat.tempers)]
    assert not any(each.hardness for each in read)


def test_nothing_is_told_of_rows_that_count():
    rows = SteelRows.model_validate({"heats": [{"coupon": "a", "hardness": [61], "exclude": " "}]})
    assert list(readings_left_out(rows)) == []


def test_a_trial_has_no_reading_to_leave_out(run, tmp_path):
    folder = make_study(tmp_path / "steel", evidence=COUPON)
    cells = ("piece=leaf", "test=bend", "edge=sound", "exclude=why")
    status, _, told = run("enter", folder, "--evidence", "trials", *cells)
    assert (status, "leaves out a hardness, and a trial has none" in told) == (2, True)


def test_the_printed_cell_is_one_that_is_to_be_filled_in():
    assert KEPT_ASIDE.startswith(to_fill_in("exclude"))
