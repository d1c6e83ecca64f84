import json
from dataclasses import dataclass
from math import inf

import numpy as np

from edgetest.doubts import Doubt, Where, doubt
from edgetest.estimate import Estimate, format_estimate, json_fields


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
