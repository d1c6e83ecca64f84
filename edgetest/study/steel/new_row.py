"""Where is a fault of a row that is typed just now, and stands in no file yet?"""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.records import Study, load_study
from edgetest.study.steel.steel_rows import IN_EVIDENCE


def nearly_noted(name: str, ids: Iterable[str]) -> str | None:
    """The piece whose id differs from a new name in capitals and blanks alone, else None."""
    near = {_plain(each): each for each in ids}.get(_plain(name))
    return near if near != name else None


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


def with_its_heat(table: str, row: dict, study: Study) -> dict:
    """A new temper or trial with the number of its coupon's last heat, where it had several.

    What is typed after a blade was hardened again is of the new heat; the old rows keep the old.
    """
    if table not in ("tempers", "trials") or row.get("heat"):
        return row
    keys = ("piece", "coupon", "blade")
    heats = (study.evidence or {}).get("heats", ())
    own = [one for one in heats if [one.get(key) for key in keys] == [row.get(key) for key in keys]]
    last = 0
    for one in own:
        last = max(last, one.get("heat") or last + 1)
    return {**row, "heat": last} if last > 1 else row
