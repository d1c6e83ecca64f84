"""What does a test cost, and what is there to mind, whose coupon is still to be quenched?"""

from dataclasses import replace

from edgetest.steel.steel_words import TESTS_BY_CODE, NextTest
from edgetest.steel.tough_tried import ON_A_COUPON

QUENCHED = "a fresh coupon, quenched as the blade was,"
TEMPERED = "a fresh coupon, quenched and tempered as said,"


def is_fresh(way: str | None, of: tuple[str, int] | None, heats):
    """Whether a test of a coupon goes on with none that is there.

    Parameters
    ----------
    way : str or None
        Code of the test.
    of : (str, int) or None
        Coupon and heat that the step goes on with.
    heats : sequence of HeatSeen
        Those of the piece; without any a coupon has its own step before this one.
    """
    return way in (*ON_A_COUPON, "break_coupon") and of is None and bool(heats)


def with_fresh_coupon(test: NextTest) -> NextTest:
    """A test with the work of its coupon, and what the work is named in its title."""
    tempered = test.code in ON_A_COUPON
    old, new = ("the tempered coupon", TEMPERED) if tempered else ("the coupon", QUENCHED)
    first = TESTS_BY_CODE["coupon_oil"].hours
    oven = ", and its temper the oven's time besides" * tempered
    why = f"{test.why} Of the work, the quench of the coupon takes about {first:g} h{oven}."
    return replace(test, title=test.title.replace(old, new), why=why, hours=test.hours + first)
