"""Which reading lies off the wear that its own blade shows before and after it?"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from math import exp, inf, log
from statistics import median
from typing import Any

from edgetest.errors import UnusableInput, each_fact_once
from edgetest.store.table_faults import cell_fault

GROWING = ("edge_width_um", "w30_um", "sever_force_gf")  # with the cuts, ever more slowly
ROOM = log(1.5)  # a sound reading seldom lies further off than half again; own choice
SPREADS = 5.0  # of the study's own readings about their neighbours
SLIP = "put it right if it is a slip; if not, leave it"
SHARPENED = (
    "put it right if it is a slip; begin a new block if the edge was touched up there; if neither, "
    "leave it"
)
LEAST_SEEN = 12  # readings between two others: one slip spoils three of them

Run = list[tuple[float, float, Any]]  # cuts, log reading and row, by the cuts
Key = tuple[str, str, Any, bool, str]  # roll, blade, place, whether after a mishap, column


def off_the_wear(
    name: str, rows: Sequence[Any], only: int | None = None
) -> Iterator[UnusableInput]:
    """Readings far off those of the same blade and place at fewer and at more cuts.

    A worn edge grows, and no faster than its cuts: between two stages a reading lies on the
    power of the cuts through both, after the last at most in step with the cuts.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    only : int, optional
        Number of the one row that is asked about.
    """
    runs = _runs(rows)
    room = max(ROOM, SPREADS * _spread(runs))
    far = [(key[-1], *each) for key, run in runs.items() for each in _far_off(run, room)]
    fresh = [each for each in far if each[2] == 0]  # larger than what came after it
    if 2 * len(fresh) > len(runs) > 2:
        facts = [_burr(name, row, reading) for reading, row, _, _ in fresh]
        yield from (each for each in each_fact_once(facts) if only is None)
        far = [each for each in far if each not in fresh]
    sharper = _sharper(far)
    for reading, row, low, high in far:
        if only not in (None, row.line):
            continue
        value, usual = row.readings[reading].value, _in_words(low, high)
        what = f"{value:g}, where {usual} is expected by this blade's readings beside it"
        mend = SHARPENED if _stage(row) in sharper else SLIP
        yield cell_fault(name, row.line, reading, what, mend)


def _sharper(far: Iterable[tuple[str, Any, float, float]]) -> set[tuple[str, str, float]]:
    """Stages of a run at which several readings are of a sharper edge than is expected."""
    low = Counter(_stage(row) for reading, row, least, _ in far if _below(row, reading, least))
    return {stage for stage, many in low.items() if many > 1}


def _below(row: Any, reading: str, least: float) -> bool:
    return bool(row.readings[reading].value < least)


def _stage(row: Any) -> tuple[str, str, float]:
    return row.block, row.blade, row.cuts


def _burr(name: str, row: Any, reading: str) -> UnusableInput:
    """A first reading larger than those after it, as most first ones of the log are."""
    what = "most first readings of the log lie far above those that follow"
    mend = "exclude them, with the reason, where a burr stood on the edge; if not, leave them"
    return cell_fault(name, row.line, reading, what, mend)


def _in_words(low: float, high: float) -> str:
    """Between which ends a reading is expected."""
    if low == 0 or high == inf:
        return f"at most {high:.2g}" if low == 0 else f"at least {low:.2g}"
    least, most = f"{low:.2g}", f"{high:.2g}"
    return f"about {most}" if least == most else f"{least} to {most}"


def _hurt_from(rows: Sequence[Any]) -> dict[tuple[str, str, Any], float]:
    """Cuts of the first mishap of each blade, roll and place; a place of None is the whole edge."""
    found: dict[tuple[str, str, Any], float] = {}
    for row in rows:
        if row.mishap:
            at = row.block, row.blade, row.station_mm
            found[at] = min(row.cuts, found.get(at, inf))
    return found


def _runs(rows: Sequence[Any]) -> dict[Key, Run]:
    """Readings of each blade, roll and place, by the cuts; of repeats the middle one stands.

    From a mishap on they are a run of their own: what an edge read before it was sound.
    """
    hurt = _hurt_from(rows)
    found: dict[Key, dict[float, list[Any]]] = defaultdict(dict)
    for row in rows:
        places = {row.station_mm, None}
        first = min(hurt.get((row.block, row.blade, place), inf) for place in places)
        for reading in GROWING if not row.exclude else ():
            told = row.readings.get(reading)
            if told is not None and told.value is not None and told.value > 0:
                stages = found[row.block, row.blade, row.station_mm, row.cuts >= first, reading]
                stages.setdefault(row.cuts, []).append((told.value, row))
    return {
        key: [
            (cuts, log(each[len(each) // 2][0]), each[len(each) // 2][1])
            for cuts, each in sorted((cuts, sorted(all_, key=_value)) for cuts, all_ in at.items())
        ]
        for key, at in found.items()
    }


def _value(told: tuple[float, Any]) -> float:
    return told[0]


def _spread(runs: dict[Key, Run]) -> float:
    """Typical distance of a reading from the line through those beside it; 0 where few tell."""
    off = [
        abs(run[i][1] - low)
        for run in runs.values()
        for i in range(len(run))
        for low, high in [_expected(run, i)]
        if low == high
    ]
    return 1.4826 * median(off) if len(off) >= LEAST_SEEN else 0.0


def _expected(run: Run, i: int) -> tuple[float, float]:
    """Ends between which the log of a reading lies, by those before and after it."""
    cuts = run[i][0]
    before, after = run[i - 1] if i else None, run[i + 1] if i + 1 < len(run) else None
    if before is None:
        return -inf, after[1] if after else inf
    if after is None:
        return before[1], before[1] + log(cuts / before[0]) if before[0] else inf
    if not before[0]:
        low, high = sorted((before[1], after[1]))
        return low, high
    share = log(cuts / before[0]) / log(after[0] / before[0])
    at = before[1] + share * (after[1] - before[1])
    return at, at


def _far_off(run: Run, room: float) -> Iterator[tuple[Any, float, float]]:
    """Rows out of reach, the farthest first: what is left is judged without it."""
    left = list(run)
    while len(left) > 1:
        ends = [_expected(left, i) for i in range(len(left))]
        off = [max(low - at, at - high) for (_, at, _), (low, high) in zip(left, ends, strict=True)]
        far = max(range(len(left)), key=lambda i: (off[i], i))
        if off[far] <= room:
            return
        low, high = ends[far]
        yield left.pop(far)[2], exp(low), exp(high)
