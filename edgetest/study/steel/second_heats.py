"""Is a row of readings a second heat of its coupon, or was it typed beside the heat it is of?"""

from collections.abc import Iterator
from shlex import quote

from edgetest.errors import UnusableInput
from edgetest.study.steel.steel_rows import IN_EVIDENCE, ONLY_COUPON, CouponHeat, SteelRows
from edgetest.study.steel.typed_cells import HARDNESSES

QUENCH = ("medium", "medium_c", "heat_c", "colour", "magnet", "soak_min", "cycles", "section_mm")


def second_heats_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about rows that count as a further heat of a coupon and tell of no quench.

    Parameters
    ----------
    rows : SteelRows

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    before: dict[tuple[str, str], int] = {}
    for k, row in enumerate(rows.heats, 1):
        piece, coupon = row.piece or rows.piece_names[0], row.coupon or ONLY_COUPON
        number = before.get((piece, coupon), 0) + 1
        if row.blade is not None:
            continue
        if number > 1 and row.heat is None and _reading_alone(row):
            named = f"piece={quote(piece)} coupon={quote(coupon)}"
            yield UnusableInput(
                f"it counts as heat {number} of coupon {coupon}, and says neither what that was "
                "quenched into nor how hot it was",
                f"{IN_EVIDENCE}, heats {k}",
                f"if it is a reading of heat {number - 1}, take this row back, and type it with "
                f"{named} heat={number - 1} (--replace, where it mends one); else add medium and "
                f"heat_c to heat={number}",
            )
        before[piece, coupon] = max(number, row.heat or 0)


def _reading_alone(row: CouponHeat) -> bool:
    """Whether a row has a hardness, a grain or a break, and nothing of a quench."""
    seen = (*HARDNESSES, "grain", "fracture")
    told = any(getattr(row, key) is not None for key in QUENCH)
    return not told and any(getattr(row, key) not in (None, (), "") for key in seen)
