"""Which reading lies far from the others of its own blade, stage and place?"""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Iterator, Sequence
from math import inf, log
from statistics import median
from typing import Any, TypeVar

from edgetest.errors import UnusableInput
from edgetest.store.logs import LIFE
from edgetest.store.table_faults import cell_fault

T = TypeVar("T")
LEAST_BESIDE = 2  # others at one place
AGREE = 3  # times nearer to each other two others are, so that neither is the odd one. Our choice
LEAST_SEEN = 20  # readings that tell how repeats scatter. Our choice
ROOM = log(1.15)  # nearer ones are never asked about, however well the others agree. Our choice
CHANCE = 0.01  # that a log without a slip is asked of one, of normal log readings. Our choice
WORTH = 0.3  # degrees of freedom a reading: 0.37 for a median distance, less one of each place
SIGMAS = 1.4826  # standard deviations in a median distance, of normal readings


def beside_repeats(
    name: str, rows: Sequence[Any], only: int | None = None
) -> Iterator[UnusableInput]:
    """Readings farther from the median of those beside them than repeats of this log scatter.

    Each is held against the others of its blade, stage and place alone: no curve is asked, so
    that what bends a curve hides no slip. A bound, a grade and a count are not asked about.

    Parameters
    ----------
    name : str
        Of the log's file.
    rows : sequence of LogRow
    only : int, optional
        Number of the one row that is asked about.
    """
    places = Counter((row.block, row.blade, row.cuts, row.station_mm) for row in rows)
    if max(places.values(), default=0) <= LEAST_BESIDE:
        return
    of: dict[str, list[tuple[Hashable, Any, float]]] = defaultdict(list)
    for row in rows:
        for reading, told in row.readings.items() if not row.exclude else ():
            number = reading != LIFE and not reading.endswith("_count")
            if number and told.value is not None:
                at = (row.block, row.blade, row.cuts, row.station_mm)
                of[reading].append((at, row, told.value))
    for reading, those in of.items():
        for row, value, beside in far_from_repeats(those):
            if only in (None, row.line):
                what = f"{value:g}, where the others of this stage and place are about {beside:.3g}"
                mend = "put it right if it is a slip; if not, leave it"
                yield cell_fault(name, row.line, reading, what, mend)


def far_from_repeats(
    those: Iterable[tuple[Hashable, T, float]],
) -> Iterator[tuple[T, float, float]]:
    """The numbers far from the median of those beside them.

    Parameters
    ----------
    those : iterable of (hashable, T, float)
        Where each number stands (numbers of one place are repeats), what it is of, and the number,
        in any one unit; those not above 0 are passed over.

    Yields
    ------
    (T, float, float)
        What the number is of, the number, and the median of the others, in the unit given.
    """
    places: dict[Hashable, list[tuple[T, float]]] = defaultdict(list)
    for at, of, value in those:
        if value > 0:
            places[at].append((of, value))
    off = [
        (of, value, [other for k, (_, other) in enumerate(here) if k != i])
        for here in places.values()
        if len(here) > LEAST_BESIDE
        for i, (of, value) in enumerate(here)
    ]
    ratios = [log(value / median(others)) for _, value, others in off]
    room = _room(ratios)
    for (of, value, others), ratio in zip(off, ratios, strict=True):
        if abs(ratio) > room and _agree(others, ratio):
            yield of, value, median(others)


def _agree(others: Sequence[float], ratio: float) -> bool:
    """Whether none of the others can be the odd one: more than two, or two near each other."""
    return len(others) > 2 or AGREE * abs(log(others[0] / others[1])) < abs(ratio)


def _room(off: Sequence[float]) -> float:
    """How far one of these log ratios may lie off; without end where too few tell.

    Student's t for the largest of so many, with the degrees of freedom that a median distance is
    worth: simulated logs without a slip are asked about in fewer than CHANCE of the cases.
    """
    from scipy.special import stdtrit

    if len(off) < LEAST_SEEN:
        return inf
    sd = SIGMAS * median(map(abs, off))
    return max(ROOM, sd * float(stdtrit(WORTH * len(off), 1 - CHANCE / 2 / len(off))))
