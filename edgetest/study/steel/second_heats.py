"""Is a row a second heat of its coupon, or was it typed beside the heat it is of?"""

from collections.abc import Iterator
from shlex import quote

from edgetest.errors import UnusableInput
from edgetest.study.steel.steel_rows import IN_EVIDENCE, ONLY_COUPON, CouponHeat, SteelRows
from edgetest.study.steel.typed_cells import HARDNESSES

QUENCH = ("medium", "medium_c", "heat_c", "colour", "magnet", "soak_min", "cycles", "section_mm")


def second_heats_asked(rows: SteelRows) -> Iterator[UnusableInput]:
    """Questions about rows that count as a further heat of a coupon, and may be none.

    They tell of no quench, or of the same quench as a heat before with another reading.

    Parameters
    ----------
    rows : SteelRows

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    before: dict[tuple[str, str], int] = {}
    earlier: dict[tuple[str, str], list[CouponHeat]] = {}
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
        elif number > 1 and row.heat is None:
            yield from _quench_again(row, k, earlier[piece, coupon], f"coupon {coupon}", number)
        before[piece, coupon] = max(number, row.heat or 0)
        earlier.setdefault((piece, coupon), []).append(row)


def _quench_again(row: CouponHeat, k: int, earlier, named: str, number: int):
    """The question about a row whose quench is told word for word as one before it."""
    told = _quench_told(row)
    like = [one for one in earlier if _quench_told(one) == told]
    if not told or not _read(row) or not like:
        return
    if any(_readings_told(one) == _readings_told(row) for one in like):
        return  # told twice in all: it counts once
    broken = any(one.grain is not None or one.fracture is not None for one in earlier)
    yield UnusableInput(
        f"it counts as heat {number} of {named}, and tells the same quench as a heat before"
        + ", after which it was broken" * broken,
        f"{IN_EVIDENCE}, heats {k}",
        "if one reading of that heat was typed wrongly, take this row back, and type it with "
        f"--replace; if it was quenched once more, add heat={number} to this row",
    )


def _quench_told(row: CouponHeat) -> tuple[object, ...]:
    """All that a row tells of its quench; () of none."""
    told = tuple(getattr(row, key) for key in QUENCH)
    return told if any(one is not None for one in told) else ()


def _reading_alone(row: CouponHeat) -> bool:
    """Whether a row has a hardness, a grain or a break, and nothing of a quench."""
    return not _quench_told(row) and _read(row)


def _read(row: CouponHeat) -> bool:
    """Whether a row has a hardness, a grain or a break."""
    return any(each not in (None, (), "") for each in _readings_told(row))


def _readings_told(row: CouponHeat) -> tuple[object, ...]:
    """All that a row tells of how its coupon came out."""
    return tuple(getattr(row, key) for key in (*HARDNESSES, "grain", "fracture"))
