"""Which heat of its coupon or blade is each row of study.toml, where some rows give no number?"""

from collections.abc import Mapping, Sequence
from typing import Any

from edgetest.errors import UnusableInput

COUPON = ("piece", "coupon", "blade")
Row = Mapping[str, Any]


def of_coupon(row: Row) -> tuple[str, ...]:
    """The coupon or blade that a row of a heat is of."""
    return tuple(str(row.get(key, "")) for key in COUPON)


def heat_numbers(rows: Sequence[Row]) -> list[int]:
    """The number of each heat, as the verdict counts them.

    A row without a number is the next heat of its coupon: the first is heat 1, and one that says
    what a row before it says is of that same heat. Of a blade it is the first.
    """
    found: list[int] = []
    for k, row in enumerate(rows):
        own = [n for n in range(k) if of_coupon(rows[n]) == of_coupon(row)]
        alike = [found[n] for n in own if _told(rows[n]) == _told(row)]
        after = max((found[n] for n in own), default=0) + 1
        given = row.get("heat")
        next_one = 1 if row.get("blade") else (alike or [after])[0]
        found.append(given if isinstance(given, int) else next_one)
    return found


def row_of_heat(rows: Sequence[Row], row: Row, *, sure: bool) -> int | None:
    """Where the heat of a row with its number stands; None where it is a new one.

    Of several rows of one heat the one is meant that says a cell of the new row already, else
    the first.

    Parameters
    ----------
    rows : sequence of mapping
        Of all coupons and blades, in their order.
    row : mapping
    sure : bool
        Whether a cell may be replaced, so that no other row than the one meant will do.

    Raises
    ------
    UnusableInput
        If that is to be sure, and several rows say it.
    """
    numbers = heat_numbers(rows)
    alike = [
        k for k, there in enumerate(rows)
        if of_coupon(there) == of_coupon(row) and numbers[k] == row["heat"]
    ]  # fmt: skip
    cells = [key for key in row if key not in (*COUPON, "heat")]
    saying = [k for k in alike if any(rows[k].get(key) for key in cells)]
    if sure and len(saying) > 1:
        places = " and ".join(str(k + 1) for k in saying)
        raise UnusableInput(
            f"heat {row['heat']} of this coupon or blade stands in several rows, heats {places}",
            "edgetest enter, --replace",
            "lay them together in study.toml, or give each a heat number of its own there",
        )
    return next(iter(saying or alike), None)


def _told(row: Row) -> dict[str, Any]:
    """What a row says, whatever its number."""
    return {key: value for key, value in row.items() if key != "heat"}
