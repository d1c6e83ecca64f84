"""Which heat of its coupon or blade is each row of study.toml, where some rows give no number?"""

from collections.abc import Hashable, Mapping, Sequence
from shlex import quote
from typing import Any

from pydantic import ValidationError

from edgetest.errors import UnusableInput
from edgetest.study.steel.row_kinds import hardness_seen
from edgetest.study.steel.steel_rows import ONLY_COUPON, ONLY_PIECE, CouponHeat
from edgetest.study.steel.typed_cells import HARDNESSES

COUPON = ("piece", "coupon", "blade")
Row = Mapping[str, Any]
_NOT_TOLD = {*COUPON, "heat", "note"}  # where a row belongs, and what the verdict does not read


def only_piece(evidence: Mapping[str, Any] | None) -> str:
    """The piece of a row that names none: the only one."""
    pieces = (evidence or {}).get("pieces")
    return str(pieces[0].get("id", ONLY_PIECE)) if pieces else ONLY_PIECE


def of_coupon(row: Row, piece: str) -> tuple[str, str, str]:
    """The coupon of its piece, or the blade, that a row of a heat is of.

    Parameters
    ----------
    row : mapping
    piece : str
        The piece of a row that names none.
    """
    if row.get("blade"):
        return "", "", str(row["blade"])
    return str(row.get("piece") or piece), str(row.get("coupon") or ONLY_COUPON), ""


def heat_numbers(
    rows: Sequence[Row],
    of: Sequence[Hashable],
    began: Mapping[Any, int] | None = None,
) -> list[int]:
    """The number of each heat, as the verdict counts them.

    A row without a number is the next heat of its coupon: the first is heat 1, and one that says
    what a row before it says is of that same heat. Of a blade it is the first.

    Parameters
    ----------
    rows : sequence of mapping
    of : sequence
        What each is of, coupon or blade.
    began : mapping, optional
        The last heat of what a row may be of too, though no row tells it.
    """
    found: list[int] = []
    told = [_told(row) for row in rows]
    for k, row in enumerate(rows):
        own = [n for n in range(k) if of[n] == of[k]]
        alike = [found[n] for n in own if told[n] == told[k]]
        after = max((found[n] for n in own), default=(began or {}).get(of[k], 0)) + 1
        given = row.get("heat")
        next_one = (alike or [1 if row.get("blade") else after])[0]
        found.append(given if isinstance(given, int) else next_one)
    return found


def row_of_heat(rows: Sequence[Row], row: Row, piece: str, *, sure: bool) -> int | None:
    """Where the heat of a row with its number stands; None where it is a new one.

    Of several rows of one heat the one is meant that says a cell of the new row already, else
    the first.

    Parameters
    ----------
    rows : sequence of mapping
        Of all coupons and blades, in their order.
    row : mapping
    piece : str
        The piece of a row that names none.
    sure : bool
        Whether a cell may be replaced, so that no other row than the one meant will do.

    Raises
    ------
    UnusableInput
        If that is to be sure, and several rows say it.
    """
    of = [of_coupon(there, piece) for there in rows]
    numbers, mine = heat_numbers(rows, of), (of_coupon(row, piece), row["heat"])
    alike = [k for k, place in enumerate(zip(of, numbers, strict=True)) if place == mine]
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


def only_heat(rows: Sequence[Row], row: Row, piece: str) -> int | None:
    """Where the only heat of a row's coupon or blade stands; None where there is none.

    Parameters
    ----------
    rows : sequence of mapping
    row : mapping
        Without the number of its heat.
    piece : str
        The piece of a row that names none.

    Raises
    ------
    UnusableInput
        If there are several, each with the cells that name it.
    """
    of, mine = [of_coupon(there, piece) for there in rows], of_coupon(row, piece)
    alike = [k for k, place in enumerate(of) if place == mine]
    if len(alike) > 1:
        numbers = heat_numbers(rows, of)
        named = " ".join(f"{key}={quote(str(row[key]))}" for key in COUPON if row.get(key))
        each = " or ".join(dict.fromkeys(f"heat={numbers[k]}" for k in alike))
        raise UnusableInput(
            "several heats are of this coupon or blade: which one is not sure",
            "edgetest enter, --replace",
            f"add its number: --evidence heats {named} {each}".replace("  ", " "),
        )
    return next(iter(alike), None)


def _told(row: Row) -> dict[str, Any]:
    """What a row says of its heat as it is read, whatever its number."""
    try:
        heat = CouponHeat.model_validate(row)
    except ValidationError:  # compared as typed; the fault is told elsewhere
        return {key: value for key, value in row.items() if key not in _NOT_TOLD}
    read = {key: hardness_seen(getattr(heat, key), key, scale=heat.scale) for key in HARDNESSES}
    return {**heat.model_dump(exclude={*_NOT_TOLD, "scale"}), **read}
