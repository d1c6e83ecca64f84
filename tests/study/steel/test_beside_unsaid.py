"""A trial against a blade that nobody named is asked about, and doubted where it counts."""

import pytest

from edgetest.study.steel.beside_unsaid import beside_two, beside_unsaid, beside_unsaid_doubts
from edgetest.study.steel.steel_rows import SteelRows


def rows(*trials):
    return SteelRows.model_validate({"trials": [{"test": "rope", **each} for each in trials]})


@pytest.mark.parametrize("held", [{"result": "same"}, {"life_ratio": 1.1}])
def test_it_is_asked_and_doubted_beside_which(held):
    (told,) = beside_unsaid(rows({"edge": "rolled"}, {"coupon": "b1", **held}))
    assert "trials 2, beside: " in str(told)
    assert "beside which blade is not said, and it counts as beside a known one; add" in str(told)
    (one,) = beside_unsaid_doubts(rows({"coupon": "b1", **held}))
    assert one.text.startswith("Beside which blade b1 of ")
    for named in ({"beside": "my old hook", **held}, {"edge": "rolled"}):
        assert list(beside_unsaid(rows(named))) == list(beside_unsaid_doubts(rows(named))) == []
    assert len(list(beside_unsaid_doubts(rows({"beside": " ", **held})))) == 1


def test_a_blade_held_against_two_known_ones_is_asked_about():
    first = {"coupon": "b1", "result": "same", "beside": "shop billhook"}
    (told,) = beside_two(rows(first, {**first, "beside": "known billhook"}))
    assert "trials 2, beside: " in str(told)
    assert '"known billhook" is another known blade than "shop billhook"' in str(told)
    for other in (
        {"beside": "Shop  billhook"},
        {"coupon": "b2", "beside": "old hook"},
        {"beside": ""},
    ):
        assert list(beside_two(rows(first, {**first, **other}))) == []
