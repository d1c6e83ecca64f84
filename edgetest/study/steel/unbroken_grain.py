"""Which heats tell the grain of a coupon that did not break, so that nobody saw it?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.steel_rows import IN_EVIDENCE, ONLY_COUPON, CouponHeat, SteelRows

UNBROKEN = "did_not_break"


def unbroken_grain(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about heats that say a grain beside a break that there was not.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    for k, heat in enumerate(rows.heats, 1):
        if _unseen(heat):
            what = (
                f"a grain is seen in a break, and this did not break: {heat.grain} counts as seen"
            )
            mend = "break it and look; if it did break, mend fracture; else take grain out"
            yield UnusableInput(what, f"{IN_EVIDENCE}, heats {k}, grain", mend)


def unbroken_grain_doubts(rows: SteelRows) -> Iterator[Doubt]:
    """A doubt for each such heat: what its grain says of the heat is weighed."""
    for heat in filter(_unseen, rows.heats):
        piece = heat.piece or rows.piece_names[0]
        who = f"blade {heat.blade}" if heat.blade else f"coupon {heat.coupon or ONLY_COUPON}"
        who += f" of {piece}" * (not heat.blade) + f", heat {heat.heat}" * bool(heat.heat)
        yield doubt(
            "grain_unbroken", who=who, grain=heat.grain, where=Where(STUDY_FILE, value=piece)
        )


def _unseen(heat: CouponHeat) -> bool:
    return heat.grain is not None and heat.fracture == UNBROKEN
