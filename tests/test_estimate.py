import json
import re
from dataclasses import dataclass
from math import inf
from pathlib import Path

import numpy as np
import pytest

import edgetest
from edgetest.doubts import Doubt, Where, doubt
from edgetest.estimate import (
    Estimate,
    format_count,
    format_estimate,
    format_ratio,
    json_fields,
    tells_nothing,
)


@dataclass(frozen=True)
class Found:
    """A result of every kind of part."""

    rate: Estimate
    places_mm: np.ndarray
    by_blade: dict
    p: float
    seen: bool
    missing: None
    doubts: tuple[Doubt, ...]


def test_a_result_becomes_plain_json_field_by_field():
    found = Found(
        Estimate(3.0, 1.0, np.inf, "mm"),
        np.arange(3.0),
        {"A": (1, np.float64(2.5))},
        float("nan"),
        True,
        None,
        (doubt("single_run", where=Where(blade="A")), doubt("single_run", where=Where(blade="B"))),
    )
    plain = json.loads(json.dumps(json_fields(found), allow_nan=False))
    assert plain["rate"]["high"] is None
    assert plain["places_mm"] == [0, 1, 2]
    assert plain["by_blade"] == {"A": [1, 2.5]}
    assert (plain["p"], plain["seen"], plain["missing"]) == (None, True, None)
    assert len(plain["warnings"]) == 1
    assert [one["where"]["blade"] for one in plain["doubts"]] == ["A", "B"]
    assert "p" not in json_fields(found, without=("p",))


def test_an_open_end_leaves_the_digits_that_the_other_end_bears():
    assert format_estimate(0.0303, -inf, 0.3186) == "0.03 (0.32 or less)"
    assert format_estimate(300.2, 201.4, inf) == "300 (201 or more)"


def test_neighbours_are_told_with_the_same_places():
    """A half-width a little under a power of ten and one a little over it."""
    assert format_estimate(2.47055, 2.46060, 2.48050) == "2.471 (2.461 to 2.481)"
    assert format_estimate(2.537, 2.526, 2.549) == "2.537 (2.526 to 2.549)"
    assert format_estimate(169.6, 161.1, 178.5) == "170 (161 to 178)"
    assert format_estimate(266.2, 253.4, 279.7) == "266 (253 to 280)"
    assert format_count(415.0, 361.0, 477.0) == ("420", "360 to 480")


@pytest.mark.parametrize("half", np.geomspace(1e-4, 4.9, 60))
def test_rounding_moves_no_end_by_more_than_a_tenth_of_the_half_width(half):
    said = format_estimate(3.0, 3.0 - half, 3.0 + half)
    low, high = map(float, re.search(r"\((\S+) to (\S+)\)", said).groups())
    assert max(abs(low - 3.0 + half), abs(high - 3.0 - half)) <= half / 10 + 1e-12


def test_an_end_is_not_rounded_onto_one_that_it_leaves_out():
    assert format_estimate(1.8, 1.04, 2.6) == "1.8 (1.0 to 2.6)"
    assert format_estimate(1.8, 1.04, 2.6, apart=1.0) == "1.80 (1.04 to 2.60)"


def test_an_end_that_no_reader_tells_from_one_buys_no_digits():
    ends = (0.999998, 1.569811)
    assert format_estimate(1.252920, *ends, apart=1.0) == "1.25 (1.00 to 1.57)"
    assert format_estimate(1.25, 1.0003, 1.57, apart=1.0) == "1.2500 (1.0003 to 1.5700)"
    assert format_estimate(4.0, 1.000002, 160.0, apart=1.0) == "4.0 (1.0 to 160)"


# Written into a file and read back as it stands; a change with its sign.
READ_BACK = {
    "study/steel/row_kinds.py",
    "study/photos/sort_eye.py",
    "study/shop/drifts.py",
    "study/validation/validate_set.py",
}
OWN_ROUNDING = re.compile(r"\{[^{}]*\}[^{}\"']{0,4}\(\{[^{}]*:[^{}]*\} to \{[^{}]*:[^{}]*\}")


def test_no_number_has_an_interval_but_by_the_one_rule():
    root = Path(edgetest.__file__).parent
    astray = {
        str(path.relative_to(root)) for path in root.rglob("*.py")
        if OWN_ROUNDING.search(path.read_text(encoding="utf-8"))
    }  # fmt: skip
    assert astray - {"estimate.py"} == READ_BACK


def test_a_ratio_whose_interval_tells_nothing_is_told_in_words():
    assert format_ratio(1.04, 0.0465, 129.0) == "anything from under 0.1 to over 10"
    assert format_ratio(1.04, 0.2, 129.0).startswith("1")
    assert format_ratio(1.8, 1.04, 2.6) == format_estimate(1.8, 1.04, 2.6, apart=1.0)
    assert tells_nothing(0.0, inf)
    assert not tells_nothing(0.1, 10.0)
