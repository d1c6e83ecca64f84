"""Where do a typed reading and the photograph of the same place differ by more than both err?"""

from contextlib import suppress
from dataclasses import dataclass
from math import exp, hypot, inf, log
from statistics import NormalDist

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput
from edgetest.store.table_faults import cell_fault
from edgetest.study.wear.kept_repeats import kept_repeats
from edgetest.study.wear.photo_values import W30, reading_of_photo
from edgetest.study.wear.study_photos import photo_tasks

LEVEL = 0.95  # of all places of a log together
# How well a width read by eye repeats where nobody tried: own choice, no source.
UNTRIED_SHARE = 0.05
MOST_TOLD = 3


@dataclass(frozen=True)
class Apart:
    """One row whose typed reading and photograph differ, and by how much both may err, as shares.

    `typed` is the typed number, or the end of a typed bound that lies nearest.
    """

    line: int
    place: str
    typed: float
    measured: float
    differ_share: float
    err_share: float

    def told(self):
        """Row, place and both numbers."""
        return (
            f"row {self.line} ({self.place}) {self.typed:.4g} typed, "
            f"{self.measured:.4g} photographed"
        )


def apart(pairs, repeats=None):
    """The rows whose two numbers differ by more than both may err, all rows taken together.

    The photograph errs by its interval on the side of the typed number, the typed reading by its
    kept repeatability, else by `UNTRIED_SHARE`; both are standard uncertainties on the log scale,
    and each of n rows is held to a level of 1 - (1 - `LEVEL`)/n (Bonferroni).

    Parameters
    ----------
    pairs : sequence of (LogRow, Reading, dict)
        Of rows that count: what was typed, and what the photograph gave (`value`, `low`, `high`).
    repeats : KeptRepeats, optional

    Returns
    -------
    list of Apart
    """
    found, normal = [], NormalDist()
    z = normal.inv_cdf(1 - (1 - LEVEL) / (2 * max(len(pairs), 1)))
    for row, typed, seen in pairs:
        value = seen["value"]
        nearest = min(max(value, typed.lower or 0.0), typed.upper or inf)
        if typed.value is not None:
            nearest = typed.value
        if nearest <= 0:
            continue
        end = seen["low"] if nearest < value else seen["high"]
        of_photo = abs(log(value / end)) / normal.inv_cdf(0.975) if end else inf
        of_hand = repeats.relative_at(nearest) if repeats is not None else UNTRIED_SHARE
        differ, err = abs(log(nearest / value)), z * hypot(of_photo, of_hand)
        if differ > err:
            place = f"{row.blade}, {row.cuts} cuts"
            place += "" if row.station_mm is None else f", {row.station_mm:g} mm"
            shares = exp(differ) - 1, exp(err) - 1
            found.append(Apart(row.line, place, nearest, value, *shares))
    return found


def apart_doubts(reading, rows, repeats, used):
    """The doubt about typed readings that lie apart from their photographs, as a list.

    Parameters
    ----------
    reading : str
    rows : sequence of (LogRow, Reading or None, dict or None)
        What was typed and what the photograph gave.
    repeats : KeptRepeats or None
    used : str
        Which of the two count, in words.
    """
    found = apart(_pairs(reading, rows), repeats)
    if not found:
        return []
    more = f" and {len(found) - MOST_TOLD} more" if len(found) > MOST_TOLD else ""
    places = "; ".join(one.told() for one in found[:MOST_TOLD]) + more
    return [doubt("typed_and_measured_apart", places=places, used=used)]


def asked_of_typed_beside(source):
    """Questions about typed readings apart from a photograph that is measured already.

    Parameters
    ----------
    source : Source
        A study; nothing is measured for it.

    Yields
    ------
    UnusableInput
    """
    both = [
        (row, reading_of_photo(source.study, row)) for row in source.log.rows
        if row.photo and row.readings and not row.exclude
    ]  # fmt: skip
    both = [(row, reading) for row, reading in both if reading in row.readings]
    if not both:
        return
    repeats, measured = {}, {}
    with suppress(UnusableInput):  # what is wrong with these files is told of them
        repeats = kept_repeats(source.path)
        measured = _measured_already(source, {row.photo for row, _ in both})
    for name in dict.fromkeys(reading for _, reading in both):
        rows = [
            (row, row.readings[name], measured.get(row.photo))
            for row, reading in both
            if reading == name
        ]
        for one in apart(_pairs(name, rows), repeats.get(name)):
            what = (
                f"{one.typed:.4g} is typed and its photograph gives {one.measured:.4g}: "
                f"{100 * one.differ_share:.2g} % apart, where both together may err by "
                f"{100 * one.err_share:.2g} %"
            )
            mend = "if one of them is a slip, put it right; if not, say in the note which to trust"
            yield cell_fault(source.log.name, one.line, name, what, mend)


def _measured_already(source, names):
    """The numbers in force of these photographs by name; none of one that waits to be measured."""
    # Imported here: a study is looked over without the library of pictures.
    from edgetest.study.photos.measure_changed import waiting_tasks
    from edgetest.study.photos.measured_table import read_measured

    tasks = [task for task in photo_tasks(source)[0] if task.photo in names]
    wait = {task.photo for task in waiting_tasks(tasks, source.path)}
    kept = read_measured(source.path) if len(wait) < len(tasks) else {}
    due = {task.photo for task in tasks} - wait
    return {name: kept[name]["numbers"] for name in due & set(kept)}


def _pairs(reading, rows):
    """Rows that count with both numbers, as `apart` takes them."""
    both = [
        (row, typed, _seen(reading, numbers))
        for row, typed, numbers in rows
        if typed is not None and numbers is not None and not row.exclude
    ]
    return [each for each in both if each[-1] is not None]


def _seen(reading, numbers):
    """What a photograph gave as `apart` takes it; None where it is a bound alone."""
    whole = reading == W30
    found = (numbers["w30_um"] if whole else numbers["width_um"]) or {}
    value = found.get("value" if whole else "mean")
    ends = {"low": found.get("low"), "high": found.get("high")}
    return None if value is None else {"value": value, **ends}
