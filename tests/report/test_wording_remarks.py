"""What stands beside a blade's life in the table of lives."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import doubt
from edgetest.report.wording import life_remarks

LAW = {"cuts": 2700.0, "low": 900.0, "high": None}


@pytest.mark.parametrize(
    ("life", "codes", "told"),
    [
        (None, (), []),
        ({"extrapolated": False, "censored": False}, (), []),
        ({"extrapolated": True, "censored": True}, (),
         ["beyond the last stage", "stopped before the limit"]),
        ({"extrapolated": False, "censored": True}, ("read_past_limit",),
         ["read past the limit: see its doubts"]),
    ],
)  # fmt: skip
def test_a_blade_read_past_the_limit_was_not_stopped_before_it(life, codes, told):
    fit = SimpleNamespace(
        to_dict=lambda: {"life": life}, doubts=tuple(doubt(code) for code in codes)
    )
    assert life_remarks(fit) == told


def test_what_the_law_makes_of_a_life_is_told_in_place_of_its_reach():
    life = {"extrapolated": True, "censored": False, "only_if_law_holds": LAW}
    (told,) = life_remarks(SimpleNamespace(to_dict=lambda: {"life": life}, doubts=()))
    assert "law" in told
    assert "beyond" not in told
