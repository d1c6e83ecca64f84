"""What does a figure of wear show: readings, curve, band, limit and life, as numbers?

Paper and screen draw the same `WearMarks`, so that they cannot disagree.
"""

from dataclasses import dataclass
from math import isfinite

import numpy as np

from edgetest.report.figures.plot_style import STATION_MARKERS

BEYOND = 3.0  # a curve is drawn to at most this many times the last stage
INSIDE_POINTS, BEYOND_POINTS = 160, 60
BAND_ROOM = 1.5  # a band, or what is left out, rises out of a picture so many times as high as
# all else in it
LEFT_OUT = "left out"


@dataclass(frozen=True)
class Spots:
    """Readings of one station, or the means of the stages; arrays of shape (n,)."""

    name: str
    marker: str
    cuts: np.ndarray
    value: np.ndarray


@dataclass(frozen=True)
class CurvePiece:
    """A piece of a curve with its band; arrays of shape (n,), in cuts and the reading's unit."""

    cuts: np.ndarray
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray

    def thinned(self, every):
        """Every so many-th point and the last, all near the first, where a curve bends most."""
        size = self.cuts.size
        near = min(4 * every, size)
        keep = np.unique([*range(near), *range(near, size, every), size - 1])
        return CurvePiece(self.cuts[keep], self.value[keep], self.low[keep], self.high[keep])


@dataclass(frozen=True)
class Noted:
    """A reading that is no number: left out, or known only to lie above, below or between."""

    kind: str  # "left out", "at least", "at most", "between"
    cuts: float
    low: float
    high: float


@dataclass(frozen=True)
class LifeBar:
    """A life as it lies on the limit line, cut off where the picture ends.

    `low` and `high` are None where the interval begins beyond the picture; `closed` says that
    its upper end lies inside, else an arrow leaves it; `value` is None where the life itself
    lies outside or is not known; `hollow` marks a life beyond the last stage.
    """

    low: float | None
    high: float | None
    closed: bool
    value: float | None
    hollow: bool


@dataclass(frozen=True)
class WearMarks:
    """All that is drawn of one blade; lengths in the reading's unit, places in cuts."""

    blade: str
    readings: tuple[Spots, ...]
    means: Spots
    at_stages: CurvePiece  # the curve at the places of the means
    inside: CurvePiece
    beyond: CurvePiece | None
    noted: tuple[Noted, ...]
    limit: float | None
    life: LifeBar | None
    last: float
    end: float

    @property
    def top(self):
        """Height of the picture: that of its highest mark that counts; of a band, or of what is
        left out, unless that explodes.
        """
        pieces = [self.inside, *([self.beyond] if self.beyond is not None else [])]
        left_out = [each.high for each in self.noted if each.kind == LEFT_OUT]
        bounds = [each.high for each in self.noted if each.kind != LEFT_OUT]
        marks = [self.means.value, bounds, [self.limit or 0.0]]
        marks += [spots.value for spots in self.readings] + [self.inside.value]
        highest = _highest(*marks)
        rising = _highest([highest], left_out, *(piece.high for piece in pieces))
        return min(rising, BAND_ROOM * highest) or rising


def wear_marks(fit, *, look, limit=None, readings=()):
    """What is drawn of one blade.

    Parameters
    ----------
    fit : CurveFit
    look : Series
        Its marker is that of the means.
    limit : float, optional
        Reading at which the edge counts as dull.
    readings : sequence of UsedReading
        The study's; of them this run's bounds and what was left out.

    Returns
    -------
    WearMarks
    """
    last = float(np.max(fit.cuts))
    end = _end(fit, last)
    means = _means(fit, look.marker)
    return WearMarks(
        blade=fit.blade,
        readings=tuple(_spots(fit)),
        means=means,
        at_stages=_piece(fit, means.cuts),
        inside=_piece(fit, np.linspace(fit.told_from, last, INSIDE_POINTS)),
        beyond=_piece(fit, np.linspace(last, end, BEYOND_POINTS)) if end > last else None,
        noted=tuple(filter(None, (_noted(each) for each in readings if each.run == fit.blade))),
        limit=limit,
        life=_life_bar(fit.life, end) if limit is not None and fit.life is not None else None,
        last=last,
        end=end,
    )


def _highest(*heights):
    """The highest of what is known; 0 where nothing is."""
    every = np.concatenate([np.asarray(each, float) for each in heights])
    return float(every[np.isfinite(every)].max(initial=0.0))


def by_station(station):
    """Name, marker and members of each station, in order of appearance."""
    names = np.asarray(station).astype(str)
    for number, name in enumerate(dict.fromkeys(names.tolist())):
        yield name, STATION_MARKERS[number % len(STATION_MARKERS)], names == name


def own_limit(fit):
    """The limit that a blade's own life counts to; None without a life."""
    return fit.life.limit if fit.life is not None else None


def _end(fit, last):
    """Cuts to which a curve is drawn: past its life, but not far past the data."""
    life = fit.life
    if life is None or not isfinite(life.read_cuts):
        return last
    reach = life.high if isfinite(life.high) else life.cuts
    return max(last, min(1.05 * reach, BEYOND * last))


def _spots(fit):
    cuts, value = np.asarray(fit.cuts, float), np.asarray(fit.value, float)
    for name, marker, here in by_station(fit.station):
        yield Spots(name, marker, cuts[here], value[here])


def _means(fit, marker):
    cuts, value = np.asarray(fit.cuts, float), np.asarray(fit.value, float)
    known = np.isfinite(value)
    stages = np.unique(cuts[known])
    means = [value[known & (cuts == stage)].mean() for stage in stages]
    return Spots("mean of a stage", marker, stages, np.array(means))


def _piece(fit, cuts):
    band = fit.predict(cuts)
    return CurvePiece(*(np.asarray(getattr(band, key)) for key in ("cuts", "value", "low", "high")))


def _noted(reading):
    """A bound or what was left out; None for a reading that is a number."""
    low, high = _bounds(reading)
    if reading.excluded:
        known = [at for at in (reading.value, low, high) if at is not None and isfinite(at)]
        return Noted(LEFT_OUT, reading.cuts, known[0], known[0]) if known else None
    if isfinite(reading.value) or (low is None and high is None):
        return None
    if low is not None and high is not None:
        return Noted("between", reading.cuts, low, high)
    kind, at = ("at least", low) if low is not None else ("at most", high)
    return Noted(kind, reading.cuts, at, at)


def has_crosses(readings, fits):
    """Whether a reading that is left out is drawn beside one of these curves."""
    drawn = {fit.blade for fit in fits}
    return any(each.excluded and each.run in drawn and _noted(each) for each in readings)


def _bounds(reading):
    """Between which values a reading lies, None where it is open."""
    low = reading.lower if isfinite(reading.lower) and reading.lower > 0 else None
    return low, reading.upper if isfinite(reading.upper) else None


def _life_bar(life, end):
    """The life on the limit line, as far as the picture goes."""
    low = life.low if isfinite(life.low) else 0.0
    high = min(life.high, end) if isfinite(life.high) else end
    inside = low <= end
    known = isfinite(life.read_cuts) and life.cuts <= end
    return LifeBar(
        low=low if inside else None,
        high=high if inside else None,
        closed=isfinite(life.high) and life.high <= end,
        value=life.cuts if known else None,
        hollow=bool(life.extrapolated),
    )
