"""Which readings and places lie so far from their neighbours that a slip of the pen is likely?"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from statistics import median
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.store.table_faults import cell_fault

FAR = 5.0  # times; a decimal mark left out makes ten, and no edge does so in one stage. Our choice
ALIKE = 2.0  # times, between the other fresh edges; where they differ more, none is odd. Our choice
NEAR_MM = 1.5  # places nearer than this are one place, measured by another rule. Our choice
RARE = 4  # times as many rows at the usual place


def far_readings(
    name: str, rows: Sequence[Any], only: int | None = None
) -> Iterator[UnusableInput]:
    """Readings several times as large as those beside them, or as small, each with its row.

    Beside a reading stand the others of its blade at the same stage; where there are fewer than
    two, those of the stages before and after it; without these, all others at as many cuts where
    they are alike, or the one other fresh edge that there is before it. A grade and a bound are
    not asked about.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    only : int, optional
        Number of the one row that is asked about.
    """
    runs = _runs(rows)
    at_stage: dict[tuple[str, float], list[tuple[Any, float]]] = defaultdict(list)
    for (_, _, reading), stages in runs.items():
        for cuts, here in stages.items() if reading != LIFE else ():
            at_stage[reading, cuts] += here
    sorted_at = {at: sorted(list(zip(*here, strict=True))[1]) for at, here in at_stage.items()}
    for (_, _, reading), stages in runs.items():
        for row, value, near in _beside(stages):
            if only not in (None, row.line):
                continue
            usual = near
            if near is None and (stage := at_stage[reading, row.cuts]):
                usual = _others(row, value, stage, sorted_at[reading, row.cuts])
            if usual and not usual / FAR <= value <= usual * FAR:
                what = f"{value:g}, where the readings beside it are about {usual:.3g}"
                mend = "put the decimal mark right if it is a slip; if not, leave it"
                yield cell_fault(name, row.line, reading, what, mend)


def _runs(
    rows: Sequence[Any],
) -> dict[tuple[str, str, str], dict[float, list[tuple[Any, float]]]]:
    """The numbers of each block, blade and reading, by their cuts."""
    runs: dict[tuple[str, str, str], dict[float, list[tuple[Any, float]]]] = defaultdict(dict)
    for row in rows:
        for reading, told in row.readings.items() if not row.exclude else ():
            if reading.endswith("_count"):  # 1, 1 and 6 are counts and no slip
                continue
            if told.value is not None and told.value > 0:
                stages = runs[row.block, row.blade, reading]
                stages.setdefault(row.cuts, []).append((row, told.value))
    return runs


def _others(
    row: Any, value: float, stage: Sequence[tuple[Any, float]], values: Sequence[float]
) -> float | None:
    """What other edges read at as many cuts, where they are alike; of fresh edges the one before
    it, where there is no more than one. `values` are all of the stage, rising.
    """
    if len(values) < 2:
        return None
    if len(values) == 2:
        other = values[0] if value == values[1] else values[1]
        return other if row.cuts == 0 and stage[0][0].line < row.line else None
    low, high = values[value == values[0]], values[-2 if value == values[-1] else -1]
    if high > ALIKE * low:
        return None
    return values[len(values) // 2]  # where one stands apart, the middle is among the others


def _beside(
    stages: dict[float, list[tuple[Any, float]]],
) -> Iterator[tuple[Any, float, float | None]]:
    """Each reading with what those beside it are about; None where nothing stands beside it."""
    cuts = sorted(stages)
    middle = {at: median(value for _, value in stages[at]) for at in cuts}
    for place, at in enumerate(cuts):
        here = stages[at]
        around = [middle[each] for each in cuts[max(place - 1, 0) : place + 2] if each != at]
        for i, (row, value) in enumerate(here):
            others = [other for k, (_, other) in enumerate(here) if k != i]
            usual = others if len(others) >= 2 else around if len(around) == 2 else []
            alike = usual and max(usual) <= FAR * min(usual)
            yield row, value, median(usual) if alike else None


def near_places(name: str, rows: Iterable[Any], only: int | None = None) -> Iterator[UnusableInput]:
    """Places along the edge that are nearly another one, at which most rows were read."""
    first: dict[float, int] = {}
    last: dict[float, int] = {}
    count: Counter[float] = Counter()
    for row in rows:
        if row.station_mm is not None and not row.exclude and not row.waiting:
            first.setdefault(row.station_mm, row.line)
            last[row.station_mm] = row.line
            count[row.station_mm] += 1
    for place, rare in count.items():
        usual = [
            other
            for other, many in count.items()
            if 0 < abs(other - place) <= NEAR_MM and many >= RARE * rare
        ]
        if usual and only in (None, last[place]):
            near = min(usual, key=lambda other: abs(other - place))
            what = f"{place:g} mm is nearly {near:g} mm of {count[near]} other rows"
            mend = f"write {near:g} mm if it is the same place; if not, leave it"
            yield cell_fault(name, only or first[place], "station_mm", what, mend)
