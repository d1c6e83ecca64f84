"""Names that a printed line gives to a coupon or blade that has none yet."""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.free_names import new_coupon, next_name
from tests.steel.seen_steel import heat


def result(*coupons, other=()):
    heats = (*(heat(coupon=one) for one in coupons), *(heat(coupon=c, piece="B") for c in other))
    return SimpleNamespace(noted=SimpleNamespace(heats=heats), asked=SimpleNamespace(piece="A"))


@pytest.mark.parametrize(
    ("coupons", "other", "fresh"),
    [
        (("T1",), (), "T2"), (("T1", "T1"), ("T2", "T3"), "T4"), (("1", "2"), (), "3"),
        (("coupon1",), (), "coupon2"), (("blade1",), (), "coupon1"), ((), (), "coupon1"),
        (("my own",), ("T1",), "coupon1"), (("blade1", "K1"), ("k2",), "K3"),
    ],
)  # fmt: skip
def test_a_fresh_coupon_goes_on_with_the_marks_of_the_piece(coupons, other, fresh):
    assert new_coupon(result(*coupons, other=other)) == fresh


def test_a_name_is_given_once_whatever_its_capitals():
    assert next_name(result("Blade1"), "blade") == "blade2"
