"""Which row of a coupon or blade is meant where one is mended at the prompt?"""

from typing import Any

from pydantic import ValidationError

from edgetest.errors import UnusableInput
from edgetest.study.steel.bare_degrees import given_its_unit
from edgetest.study.steel.numbered_heats import COUPON, of_coupon
from edgetest.study.steel.steel_rows import IN_EVIDENCE, CouponTemper

SAME_C = 0.1  # of a temper typed in °C and in °F
# What tells rows of one coupon or blade apart, where there are several of them.
TOLD_BY = {"tempers": ("temperature_c", "temperature_f"), "trials": ("test", "day")}
ROW = "row"  # the cell that names a row by its place, as the questions about it do
PLACED = ("heats", "tempers", "trials")  # tables whose rows have no id


def row_named(table, rows, row, piece, *, replace) -> int | None:
    """The row that its place names, counted from 1 as in study.toml; None where none is named.

    Raises
    ------
    UnusableInput
        If there is no such row, or it is of another piece, coupon or blade than the one typed.
    """
    if ROW not in row or table not in PLACED:
        return None
    where, number = f"edgetest enter, {ROW}", row[ROW]
    if not replace:
        what = f"{ROW} names one of the {table} that stand there, and nothing is to be replaced"
        raise UnusableInput(what, where, f"add --replace; a new row goes without {ROW}")
    if not isinstance(number, int) or not 1 <= number <= len(rows):
        what = f"there are {len(rows)} {table}, and none is row {number}"
        mend = f"count [[evidence.{table}]] in study.toml from 1, as the questions about it do"
        raise UnusableInput(what, where, mend)
    of = dict(zip(COUPON, of_coupon(rows[number - 1], piece), strict=True))
    for key in COUPON:
        if key in row and row[key] != of[key]:
            its = f"of {key} {of[key]}" if of[key] else f"of no {key}"
            what = f"{IN_EVIDENCE}, {table} {number} is {its}, not {row[key]}"
            raise UnusableInput(what, where, f"write the row that you mean, or leave {key} out")
    return number - 1


def row_to_replace(table, rows, row, piece) -> int | None:
    """The temper or trial of this coupon or blade whose cells are to be replaced.

    Raises
    ------
    UnusableInput
        If there are several that it may be.
    """
    heat = row.get("heat", 1)
    alike = [
        k for k, there in enumerate(rows)
        if of_coupon(there, piece) == of_coupon(row, piece)
        and ("heat" not in row or there.get("heat", 1) == heat)
    ]  # fmt: skip
    if len(alike) > 1:
        return _meant_of(table, alike, rows, row)
    return alike[0] if alike else None


def _meant_of(table, alike, rows, row) -> int:
    """Which of several rows of a coupon or blade is meant, by what tells them apart.

    Raises
    ------
    UnusableInput
    """
    keys = TOLD_BY[table]
    exact = [k for k in alike if _alike_in(rows[k], row, keys)]
    several = exact or _of_same_degrees(table, alike, rows, row)
    meant = _with_blanks(several, rows, row)
    _refuse_said_beside(table, several, rows, row)
    if len(meant) == 1:
        return meant[0]
    by = " or ".join(key for key in keys if any(key in there for there in rows))
    raise UnusableInput(
        f"several {table} are of this coupon or blade: which one is not sure",
        "edgetest enter, --replace",
        f"write {by or keys[0]} as it stands there, or name the row by its place among "
        f"[[evidence.{table}]] in study.toml: {_named(meant or alike)}",
    )


def _named(alike) -> str:
    """The cells that name some rows by their places."""
    return " or ".join(f"{ROW}={k + 1}" for k in alike)


def _refuse_said_beside(table, several, rows, row):
    """Refuse a temper that one of several rows says already: another one says otherwise."""
    if table == "tempers" and len(several) > 1 and any(_holds(rows[k], row) for k in several):
        raise UnusableInput(
            "one row of this coupon and temper says so already, and another one otherwise",
            "edgetest enter, --replace",
            "take the wrong one out: write what it says, with --remove in place of --replace",
        )


def _of_same_degrees(table, alike, rows, row) -> list[int]:
    """Of rows that may be meant, the tempers of the same degrees, or of these without a unit."""
    tempers = alike if table == "tempers" else ()
    same = [k for k in tempers if same_degrees(rows[k], row)]
    return same or [k for k in tempers if given_its_unit(rows[k], row)]


def without_same_degrees(table, there, row) -> dict[str, Any]:
    """A row without the degrees that its temper says already, in either scale.

    Degrees that stood there as a number alone, and now say their unit, are no such ones.
    """
    same = table == "tempers" and same_degrees(there, row) and not given_its_unit(there, row)
    return {key: value for key, value in row.items() if not same or key not in TOLD_BY[table]}


def same_degrees(there, row) -> bool:
    """Whether a temper says the same degrees as another, in whichever scale each is typed."""
    here, at = _degrees_c(row), _degrees_c(there)
    return here is not None and at is not None and abs(here - at) < SAME_C


def _degrees_c(row) -> float | None:
    """The degrees of a temper, °C; None where it says none, or none that can be read."""
    cells = {key: row[key] for key in TOLD_BY["tempers"] if row.get(key) is not None}
    try:
        return CouponTemper.model_validate(cells).temperature_c
    except ValidationError:
        return None


def _alike_in(there, row, keys) -> bool:
    """Whether each of some keys says the same there, or is left out of the new row."""
    return all(key not in row or str(there.get(key, "")) == str(row[key]) for key in keys)


def _holds(there, row) -> bool:
    """Whether a row says already all that a new one says."""
    return all(str(there.get(key, "")) == str(value) for key, value in row.items())


def _with_blanks(alike, rows, row) -> list[int]:
    """Of rows that may be meant, the only one that says nothing else; all where there is none."""
    found = [k for k in alike if _alike_in(rows[k], row, rows[k])]
    return found if len(found) == 1 else alike
