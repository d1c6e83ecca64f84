"""Where is a fault of a row that is typed just now, and stands in no file yet?"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.checking import unquoted
from edgetest.store.records import Study, load_study
from edgetest.study.steel.numbered_heats import heat_numbers, of_coupon, only_piece
from edgetest.study.steel.steel_rows import IN_EVIDENCE


def nearly_noted(name: str, ids: Iterable[str]) -> str | None:
    """The piece whose id differs from a new name in capitals and blanks alone, else None."""
    near = {_plain(each): each for each in ids}.get(_plain(name))
    return near if near != name else None


def no_row_there(table: str, rows: Sequence[Mapping[str, Any]]) -> UnusableInput:
    """The refusal of a replacement where no such row stands; it names the pieces that do."""
    ids = [str(row["id"]) for row in rows] if table == "pieces" else []
    known = f"known: {', '.join(ids)}; " if ids else ""
    return UnusableInput(
        "there is no row to replace a cell of", "edgetest enter, --replace",
        f"{known}it goes with the id of a piece that was noted, or the piece and coupon of a heat, "
        "temper or trial; --remove takes a row out",
    )  # fmt: skip


def _plain(name: str) -> str:
    return "".join(name.casefold().split())


@contextmanager
def told_of_new_row(folder, table: str) -> Iterator[None]:
    """Tell the faults of a row put behind those of a table as the new row's, not by a number.

    Rows of the evidence are counted from 1 in the order of study.toml; the new one is not in
    it, so a number one past the last would send the reader to a row that is not there.

    Raises
    ------
    UnusableInput
        Each fault raised inside, at its place.
    """
    last = len((load_study(folder).evidence or {}).get(table, ())) + 1
    its = re.compile(rf"{re.escape(IN_EVIDENCE)}, {table} {last}(?: \([^)]*\))?(?=,|$)")
    try:
        yield
    except UnusableInput as fault:
        raise ManyFaults(
            UnusableInput(
                each.what, its.sub(f"{IN_EVIDENCE}, the new row of {table}", each.where), each.mend
            )
            for each in getattr(fault, "faults", (fault,))
        ) from None


@contextmanager
def without_quotes() -> Iterator[None]:
    """Tell the faults of cells typed at a prompt without quotes, for those are of study.toml.

    Raises
    ------
    UnusableInput
        Each fault raised inside, its mend so.
    """
    try:
        yield
    except UnusableInput as fault:
        raise ManyFaults(
            UnusableInput(each.what, each.where, unquoted(each.mend))
            for each in getattr(fault, "faults", (fault,))
        ) from None


def with_its_heat(table: str, row: dict, study: Study) -> dict:
    """A new temper or trial with the number of its coupon's last heat.

    What is typed after a blade was hardened again is of the new heat, and what was typed before is
    of the old one, whatever comes. A trial is given the only temper that its coupon had when it
    was typed: a later one changes nothing of it.
    """
    if table not in ("tempers", "trials"):
        return row
    told = row if row.get("heat") else _of_last_heat(row, study)
    return _of_last_temper(told, study) if table == "trials" and "temper_c" not in row else told


def _of_last_temper(row: dict, study: Study) -> dict:
    """A trial of a coupon with its only temper; as it is where none was written, or several."""
    tempers = (study.evidence or {}).get("tempers", ())
    piece = only_piece(study.evidence)
    own = [
        one for one in tempers
        if _degrees(one) is not None and row.get("coupon") is not None
        and of_coupon(one, piece) == of_coupon(row, piece)
        and one.get("heat", 1) == row.get("heat", 1)
    ]  # fmt: skip
    one_alone = len({str(_degrees(one)) for one in own}) == 1
    return {**row, "temper_c": _degrees(own[-1])} if one_alone else row


def _degrees(temper: Mapping[str, Any]):
    """The temperature of a temper as typed, with its unit where that is °F; None of none."""
    in_f = temper.get("temperature_f")
    if in_f is None or temper.get("temperature_c") is not None:
        return temper.get("temperature_c")
    return f"{in_f} °F" if isinstance(in_f, int | float) else in_f


def _of_last_heat(row: dict, study: Study) -> dict:
    """A row with the number of its coupon's last heat; as it is where no heat was written."""
    heats = (study.evidence or {}).get("heats", ())
    piece = only_piece(study.evidence)
    of = [of_coupon(one, piece) for one in heats]
    told = zip(of, heat_numbers(heats, of), strict=True)
    last = max((number for one, number in told if one == of_coupon(row, piece)), default=0)
    return {**row, "heat": last} if last else row
