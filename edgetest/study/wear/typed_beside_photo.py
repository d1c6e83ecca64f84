"""Where do a typed reading and the photograph of the same place differ by more than both err?"""

from contextlib import suppress
from dataclasses import dataclass
from math import exp, fsum, hypot, inf, isfinite, log
from statistics import NormalDist

from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.table_faults import cell_fault
from edgetest.study.wear.kept_repeats import kept_repeats
from edgetest.study.wear.photo_values import W30, reading_of_photo
from edgetest.study.wear.study_photos import photo_tasks
from edgetest.study.words import percent

LEVEL = 0.95  # of all places of a log together
# How well a width read by eye repeats where nobody tried: own choice, no source.
UNTRIED_SHARE = 0.05
MOST_TOLD = 3
LEAST_SHARE = 1e-6  # of an error, so that a place said to have none keeps a weight
FEWEST_TOGETHER = 3  # places of which a common lean is told


@dataclass(frozen=True)
class Apart:
    """One row whose typed reading and photograph differ, and by how much both may err, as shares.

    `typed` and `measured` are the numbers in words, or the ends of bounds that lie nearest.
    """

    line: int
    place: str
    typed: str
    measured: str
    differ_share: float
    err_share: float

    def told(self):
        """Row, place and both numbers."""
        return f"row {self.line} ({self.place}) {self.typed} typed, {self.measured} photographed"


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
    found = []
    z = NormalDist().inv_cdf(1 - (1 - LEVEL) / (2 * max(len(pairs), 1)))
    for row, typed, seen in pairs:
        met = _nearest(_ends(typed.value, typed.lower, typed.upper), _ends(**seen))
        if met is None:
            continue
        nearest, value, wider = met
        of_photo = 0.0 if seen["value"] is None else _photo_share(seen, nearest)
        differ, err = abs(log(nearest / value)), z * hypot(of_photo, _hand_share(repeats, nearest))
        if differ > err:
            place = f"{row.blade}, {row.cuts} cuts"
            place += "" if row.station_mm is None else f", {row.station_mm:g} mm"
            told = (
                _words(nearest, typed.value, ">" if wider else "<"),
                _words(value, seen["value"], "<" if wider else ">"),
            )
            found.append(Apart(row.line, place, *told, exp(differ) - 1, exp(err) - 1))
    return found


def lean_share(pairs, repeats=None):
    """By what share typed numbers lie above their photographs on the whole, where beyond error.

    The photographs' errors are taken as one error that all share, those of the typed readings as
    one of each place.

    Parameters
    ----------
    pairs : sequence of (LogRow, Reading, dict)
        As `apart` takes them; bounds say nothing of the mean.
    repeats : KeptRepeats, optional

    Returns
    -------
    (float or None, int)
        None where the mean may be chance, or fewer than `FEWEST_TOGETHER` places speak; and how
        many places do.
    """
    met = list(_leans(pairs, repeats))
    if len(met) < FEWEST_TOGETHER:
        return None, len(met)
    weights = [1 / max(hypot(hand, photo), LEAST_SHARE) ** 2 for _, hand, photo in met]
    shares = [(weight / fsum(weights), *one) for weight, one in zip(weights, met, strict=True)]
    mean = fsum(share * lean for share, lean, _, _ in shares)
    of_hands = hypot(*(share * hand for share, _, hand, _ in shares))
    of_photos = fsum(share * photo for share, _, _, photo in shares)
    beyond = abs(mean) > NormalDist().inv_cdf((1 + LEVEL) / 2) * hypot(of_hands, of_photos)
    return (exp(mean) - 1 if beyond else None), len(met)


def _leans(pairs, repeats):
    """Of each place with two numbers: typed over photographed, as a log, and how both err."""
    for _, typed, seen in pairs:
        if not (typed.value or 0.0) > 0 or seen["value"] is None:
            continue
        of_photo = _photo_share(seen, typed.value)
        if isfinite(of_photo):
            yield log(typed.value / seen["value"]), _hand_share(repeats, typed.value), of_photo


def _ends(value, low, high):
    """Both ends of what is known: a number is its own."""
    return (low or 0.0, high or inf) if value is None else (value, value)


def _nearest(typed, seen):
    """The ends that lie nearest, and whether the typed one is the wider; None where they meet."""
    if typed[0] > seen[1]:
        return typed[0], seen[1], True
    if 0 < typed[1] < seen[0]:
        return typed[1], seen[0], False
    return None


def _words(number_um, value, bound):
    return f"{'' if value is not None else bound}{number_um:.4g} µm"


def _photo_share(seen, towards):
    """Standard uncertainty of a photograph's number on its side towards another, as a share."""
    end = seen["low"] if towards < seen["value"] else seen["high"]
    return abs(log(seen["value"] / end)) / NormalDist().inv_cdf(0.975) if end else inf


def _hand_share(repeats, typed):
    return repeats.relative_at(typed) if repeats is not None else UNTRIED_SHARE


def apart_doubts(reading, rows, repeats, used):
    """The doubts about typed readings apart from their photographs, one by one or all together.

    Parameters
    ----------
    reading : str
    rows : sequence of (LogRow, Reading or None, dict or None)
        What was typed and what the photograph gave.
    repeats : KeptRepeats or None
    used : str
        Which of the two count, in words.
    """
    pairs = _pairs(reading, rows)
    found = apart(pairs, repeats)
    more = f" and {len(found) - MOST_TOLD} more" if len(found) > MOST_TOLD else ""
    told = "; ".join(one.told() for one in found[:MOST_TOLD]) + more
    lines = {one.line for one in found}
    doubts = [doubt("typed_and_measured_apart", places=told, used=used)] if found else []
    share, count = lean_share([each for each in pairs if each[0].line not in lines], repeats)
    if share is not None:
        lean = f"{percent(abs(share))} {'larger' if share > 0 else 'smaller'}"
        places = f"the other {count} places" if found else f"{count} places"
        doubts.append(
            doubt("hand_leans", places=places, lean=lean, used=used, where=Where(value=lean))
        )
    return doubts


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
                f"{one.typed} is typed and its photograph gives {one.measured}: "
                f"{percent(one.differ_share)} apart, where both together may err by "
                f"{percent(one.err_share)}"
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
    """What a photograph gave as `apart` takes it, a number or bounds; None where it is neither."""
    whole = reading == W30
    found = (numbers["w30_um"] if whole else numbers["width_um"]) or {}
    value, low, high = found.get("value" if whole else "mean"), found.get("low"), found.get("high")
    if value is None and not whole:
        high = numbers.get("below_um")
    return {"value": value, "low": low, "high": high} if value or low or high else None
