"""What rests on a row of evidence that is taken out, and would be of nothing then?"""

from collections.abc import Iterator, Mapping
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.steel.numbered_heats import heat_numbers, of_coupon, only_piece
from edgetest.study.steel.steel_rows import IN_EVIDENCE

Row = Mapping[str, Any]


def refuse_rested(left: Study, table: str, at: int, row: Row) -> None:
    """Refuse to take out a piece or a heat that other rows are of.

    Parameters
    ----------
    left : Study
        The study without the row.
    table : {"pieces", "heats", "tempers", "trials"}
    at : int
        Where the row stood in its table, from 0.
    row : mapping

    Raises
    ------
    UnusableInput
        Naming the rows.
    """
    where = f"{IN_EVIDENCE}, {table} {at + 1}"
    if table == "pieces":
        if resting := list(_on_piece(left, row)):
            where = f"{where} ({row.get('id')})"
            raise _rested(resting, where, "another piece")
    elif table == "heats":
        _refuse_heat(left.evidence or {}, at, row, where)


def _rested(resting: list[str], where: str, other: str) -> UnusableInput:
    rest, them = ("rests", "it") if len(resting) == 1 else ("rest", "them")
    return UnusableInput(
        f"{', '.join(resting)} {rest} on it", where, f"take {them} out first, or name {other} there"
    )


def _on_piece(left: Study, piece: Row) -> Iterator[str]:
    """What is of a piece; of the only one are the rows that name none."""
    evidence, name = left.evidence or {}, piece.get("id")
    alone = not evidence.get("pieces")
    for table in ("heats", "tempers", "trials"):
        for k, row in enumerate(evidence.get(table, ()), 1):
            of_none = alone and not row.get("piece") and not row.get("blade")
            if of_none or row.get("piece") == name:
                yield _row_words(table, k, row)
    yield from (f"blade {blade.id}" for blade in left.blades if blade.piece == name)
    if (left.verdict or {}).get("piece") == name:
        yield f"piece of [verdict] in {STUDY_FILE}"


def _refuse_heat(evidence: Mapping[str, Any], at: int, row: Row, where: str) -> None:
    """Refuse a heat that tempers and trials are of, or that later heats are counted by."""
    left = list(evidence.get("heats", ()))
    piece = only_piece(evidence)
    coupon = of_coupon(row, piece)
    numbers = _numbers([*left[:at], row, *left[at:]], piece)
    number = numbers.pop(at)
    own = [k for k, heat in enumerate(left) if of_coupon(heat, piece) == coupon]
    now = _numbers(left, piece)
    moved = {numbers[k] for k in own if numbers[k] != now[k]}
    gone = {number} - {numbers[k] for k in own}
    if resting := list(_on_heats(evidence, coupon, piece, gone)):
        raise _rested(resting, where, "another heat")
    if resting := list(_on_heats(evidence, coupon, piece, moved)):
        heats = " and ".join(f"heat={n}" for n in sorted(moved))
        raise UnusableInput(
            f"without it later heats would be counted anew, and {', '.join(resting)} would be of "
            "another one",
            where,
            f"give the later heats of this coupon their numbers first, by its coupon and {heats}",
        )


def _numbers(heats: list[Row], piece: str) -> list[int]:
    return heat_numbers(heats, [of_coupon(heat, piece) for heat in heats])


def _on_heats(
    evidence: Mapping[str, Any], coupon: tuple[str, ...], piece: str, heats: set[int]
) -> Iterator[str]:
    """The tempers and trials of some heats of a coupon; one that names no heat may be of any."""
    for table in ("tempers", "trials"):
        for k, row in enumerate(evidence.get(table, ()), 1):
            of_them = row.get("heat") is None or row["heat"] in heats
            if heats and of_them and of_coupon(row, piece) == coupon:
                yield _row_words(table, k, row)


def _row_words(table: str, k: int, row: Row) -> str:
    """A row by its number in its table and by the coupon or blade that it names."""
    named = row.get("blade") or row.get("coupon")
    return f"row {k} of {table}" + (f" ({named})" if named else "")
