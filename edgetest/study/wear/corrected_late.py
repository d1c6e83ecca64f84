"""Which readings were corrected, left out or moved when all of their blade stood, life in reach?

The history knows the order of its changes, not who had looked at a curve.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from edgetest.store.history import IN_THE_FILE, Change

KEYS = ("cuts", "station_mm", "check_no")
RUNS = ("blade", "block", "batch")  # what a reading was cut in and on
UNSEALED = "unsealed"  # how the history's line of names begins that brought them back


@dataclass(frozen=True)
class LateChange:
    """A change behind the last reading, and whether sealed names had come back by then.

    `cut_anew`: all readings of the blade were left out, and it was cut from fresh once more.
    """

    change: Change
    names_known: bool
    cut_anew: bool = False


def corrected_late(changes: Sequence[Change], reading: str) -> list[LateChange]:
    """Corrections behind the last entry of their blade; rows left out, taken in again, or given
    to another blade or block or batch.

    Readings of other blades that come later take no correction back: it stays told. So do those
    of the same blade once all of its readings were left out: it is cut anew. A reading that was
    filled in in the file is an entry too; what the file was changed to in one go has no
    order. What was taken back counts for nothing.

    Parameters
    ----------
    changes : sequence of Change
        Of a study's history, oldest first.
    reading : str
        Column of the log.
    """
    standing = _standing(changes)
    cuttings = _cuttings([one.change for one in standing], reading)
    final = dict(cuttings)
    last = {
        cuttings[k]: (k, one.change)
        for k, one in enumerate(standing) if entered(one.change, reading)
    }  # fmt: skip
    late = []
    for k, one in enumerate(standing):
        at, entry = last.get(cuttings[k], (k, one.change))
        if at < k and not _in_one_go(one.change, entry) and _changed(one.change, reading):
            blade, number = cuttings[k]
            late.append(replace(one, cut_anew=number < final[blade]))
    return late


def _cuttings(changes: Sequence[Change], reading: str) -> list[tuple[str, int]]:
    """The blade of each change, and the number of its cutting by then.

    The next cutting begins with the first reading after all readings, of two stages or more, were
    left out; a fresh edge that is read once more is none.
    """
    counting, number = Counter[str](), Counter[str]()
    stages: dict[str, set[str]] = defaultdict(set)
    out = []
    for change in changes:
        blade, enters = _blade(change), entered(change, reading)
        if enters and counting[blade] <= 0 and len(stages[blade]) > 1:
            number[blade] += 1
            stages[blade].clear()
        for cells, step in ((change.before or {}, -1), (change.after or {}, 1)):
            counts = bool(cells.get(reading)) and not cells.get("exclude")
            counting[cells.get("blade", "")] += step * counts
        if enters:
            stages[blade].add((change.after or {}).get("cuts", ""))
        out.append((blade, number[blade]))
    return out


def _blade(change: Change) -> str:
    """The blade of a row, as it stands after the change; as it stood of a row taken out."""
    return (change.after or change.before or {}).get("blade", "")


def _standing(changes: Sequence[Change]) -> list[LateChange]:
    """Changes of the log that were not taken back; those in the file nobody takes back."""
    standing: list[LateChange] = []
    names_known = False
    for change in changes:
        if change.table == "names" and (change.after or {}).get("names", "").startswith(UNSEALED):
            names_known = True
        if change.table != "log":
            continue
        if change.what != "undo":
            standing.append(LateChange(change, names_known))
            continue
        made = [k for k, one in enumerate(standing) if one.change.what != IN_THE_FILE]
        if made:
            del standing[made[-1]]
    return standing


def entered(change: Change, reading: str) -> bool:
    """Whether a change puts a reading where none stood before.

    Parameters
    ----------
    change : Change
        Of a row of the log.
    reading : str
        Its column.
    """
    before, after = change.before or {}, change.after or {}
    return bool(after.get(reading)) and not before.get(reading)


def _in_one_go(change: Change, other: Change) -> bool:
    """Whether both were noticed in the file at one time."""
    return change.what == other.what == IN_THE_FILE and change.when == other.when


def _changed(change: Change, reading: str) -> bool:
    """Whether one number stands in the place of another, or its row counts no longer, or again,
    or counts for another blade, in another block or batch.
    """
    before, after = change.before or {}, change.after or {}
    if any(before.get(key, "") != after.get(key, "") for key in KEYS):
        return False  # another row
    numbers = [_as_number(cells.get(reading, "")) for cells in (before, after)]
    counts = [bool(cells.get("exclude")) for cells in (before, after)]
    if not all(numbers):
        return False
    if any(before.get(name, "") != after.get(name, "") for name in RUNS):
        return numbers[0] == numbers[1]  # else another row
    return numbers[0] != numbers[1] or counts[0] != counts[1]


def _as_number(text: str) -> str:
    """A cell by its value where it is a plain number: 12,50 and 12.5 are one."""
    try:
        return repr(float(text.replace(",", ".")))
    except ValueError:
        return text.strip()
