"""Are these two outlines one edge, and where? The decision, refused where it could be chance."""

from dataclasses import dataclass
from math import inf, isfinite, log

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.photo.side.constellation import chips_evidence
from edgetest.photo.side.laying import Candidate, chance_of, search, stretches
from edgetest.photo.side.sound_line import sound_roughness

# Thresholds chosen on even seeds; the guide's table has what odd seeds make of them.
LEAST_ODDS = 5.0  # log odds for one edge over unrelated ones, after all places that were tried
LEAST_LEAD = 5.0  # log odds of the best place over the next
LEAST_LIKENESS = 0.15  # a camera's own pattern is alike by less
PEAK_PX = 3.0  # a whitened line is alike to itself over some three pixels
APART = 6.0  # peak widths: a place so far off is another place
FINER = 4  # parts of a step of stretch that the best place is sought in again
LEAST_OVERLAP = 0.05  # of the shorter outline: a shift given by hand must leave so much
AGREES = 5.0  # peak widths: a shift given by hand may be so far off what is found


@dataclass(frozen=True)
class LaidTogether:
    """Where one outline lies on the other, how sure that is, and who says so.

    `runner_up` is the next best place's likeness, weighed for its own overlap.
    `by` is "roughness", "roughness_and_chips" (without the chips it was not sure), "maker" (the
    shift was given) or "nothing" (not laid together).
    """

    by: str
    place: Candidate | None
    runner_up: float | None = None
    chance: float = 1.0
    odds: float = -inf
    lead: float = 0.0
    bumps: tuple[tuple[float, float], ...] = ()
    found_um: float | None = None

    @property
    def accepted(self):
        """Whether damage may be called new or old."""
        return self.by != "nothing"

    @property
    def shift_um(self):
        """Shift in the middle of the overlap, µm."""
        return self.place.shift_um if self.place else None

    @property
    def shift_u_um(self):
        """Standard uncertainty of the shift, µm."""
        return self.place.shift_u_um if self.place else 0.0

    @property
    def likeness(self):
        """Correlation of the roughness at the best place; None where none could be tried."""
        if self.place is None or not isfinite(self.place.likeness):
            return None
        return self.place.likeness

    @property
    def contradicted(self):
        """Whether the roughness says another shift than the maker."""
        return self.by == "maker" and self.found_um is not None

    @property
    def at(self):
        """The place; there is one wherever two lines were laid together."""
        assert self.place is not None
        return self.place

    def on_second(self, place_um):
        """Where a place of the first lies on the second."""
        return self.at.on_second(place_um)

    def on_first(self, place_um):
        """Where a place of the second lies on the first."""
        one = self.at
        return one.middle_um + (place_um - one.shift_um - one.middle_um) / one.stretch

    def overlap(self, first_um, second_um):
        """From where to where, on the first, both show edge."""
        low = max(first_um[0], self.on_first(second_um[0]))
        return low, min(first_um[-1], self.on_first(second_um[-1]))

    def depth_u_um(self, length_um, depth_um):
        """Standard uncertainty of a difference of depths from the laying alone.

        How far the two sound outlines stand apart over a length as long as the damage, and
        what a stretch, which may be one of the scales, does to a depth.
        """
        over, spreads = np.array(self.bumps or [(1.0, 0.0)]).T
        apart = np.interp(length_um, over, spreads)
        return float(np.hypot(apart, abs(self.at.stretch - 1) * depth_um))

    def words(self):
        """Likeness and the next best place's, for a sentence."""
        if self.by == "maker":
            return f"by the shift given, {self.at.shift_um:.0f} µm"
        if self.likeness is None:
            return "too little undamaged edge on both"
        other = f", elsewhere {self.runner_up:.2f}" if self.runner_up is not None else ""
        return f"likeness {self.likeness:.2f}{other}"

    def to_dict(self):
        """Plain values for JSON."""
        accepted = self.accepted
        return {
            "accepted": accepted,
            "laid_by": self.by,
            "shift_um": plain(self.shift_um) if accepted else None,
            "shift_u_um": plain(self.shift_u_um) if accepted else None,
            "stretch": plain(self.place.stretch) if accepted and self.place else None,
            "likeness": plain(self.likeness),
            "runner_up": plain(self.runner_up),
            "chance": plain(self.chance),
        }


def lay_together(before, after, *, shift_um=None):
    """Lay two outlines together by the roughness of their sound edge, and by their chips.

    Parameters
    ----------
    before, after : ProfileMeasurement
    shift_um : float, optional
        The maker's word instead.

    Returns
    -------
    LaidTogether

    Raises
    ------
    UnusableInput
        If the shift given is no number, or leaves no edge on both.
    """
    if shift_um is not None:
        _checked(shift_um, before.position_um, after.position_um)
    found = _found(before, after)
    if shift_um is None:
        return found
    low, high = _shared(before.position_um, after.position_um, shift_um)
    place = Candidate(float(shift_um), 1.0, (low + high) / 2, float("nan"), 0.0, 0.0)
    other = None
    if found.accepted:
        there = found.on_second(place.middle_um) - place.middle_um
        step = max(before.um_per_px, after.um_per_px)
        other = float(there) if abs(there - shift_um) > AGREES * PEAK_PX * step else None
    return LaidTogether("maker", place, bumps=_bumps(before, after, place), found_um=other)


def _checked(shift_um, first, second):
    """A shift given by hand must be a number and leave edge on both."""
    where, mend = "shift_um", "give how much further along the second picture a place lies, µm"
    if not isfinite(shift_um):
        raise UnusableInput(f"{shift_um} is no shift", where, mend)
    low, high = _shared(first, second, shift_um)
    if high - low < LEAST_OVERLAP * min(np.ptp(first), np.ptp(second)):
        least, most = second[0] - first[-1], second[-1] - first[0]
        what = f"{shift_um:g} µm leaves no edge on both pictures"
        raise UnusableInput(what, where, f"give one between {least:.0f} and {most:.0f}")


def _shared(first, second, shift_um):
    """What both show, on the first picture's scale."""
    return max(first[0], second[0] - shift_um), min(first[-1], second[-1] - shift_um)


def _found(before, after):
    """The best place, accepted or not."""
    step = max(before.um_per_px, after.um_per_px)
    damage = [_damage(one) for one in (before, after)]
    spans = [(place, length) for place, length, _, _ in damage[1]]
    first = sound_roughness(before.position_um, before.departure_um,
                       [each[:2] for each in damage[0]], step)  # fmt: skip

    def second(stretch):
        line = sound_roughness(after.position_um, after.departure_um, spans, step, stretch=stretch)
        return float(stretch), line

    shorter = min(np.ptp(before.position_um), np.ptp(after.position_um))
    tries = stretches(shorter, PEAK_PX * step)
    wide = search(first, [second(stretch) for stretch in tries])
    if not wide.candidates:
        return LaidTogether("nothing", None)
    ends = after.position_um[0], after.position_um[-1]
    ranked = sorted(
        ((chips_evidence(damage[0], damage[1], one, ends, step), one) for one in wide.candidates),
        key=lambda pair: -pair[0] - pair[1].evidence,
    )
    bonus, best = ranked[0]
    fine = (tries[1] - tries[0]) / FINER
    near = [best.stretch + fine * part for part in range(-FINER + 1, FINER) if part]
    again = [best, *search(first, [second(stretch) for stretch in near]).candidates]
    refined = max((one for one in again if not _apart(one, best, step)), key=lambda x: x.evidence)
    next_best = next(
        (chips + one.evidence for chips, one in ranked if _apart(one, best, step)), -inf
    )
    odds = refined.evidence - log(wide.tried)
    lead = refined.evidence + bonus - next_best
    by = _by(refined, odds, lead, bonus)
    return LaidTogether(
        by,
        refined,
        runner_up=_as_telling(next_best, refined.independent),
        chance=chance_of(refined.likeness, refined.independent, wide.tried),
        odds=odds + bonus,
        lead=lead,
        bumps=_bumps(before, after, refined) if by != "nothing" else (),
    )


def _as_telling(evidence, independent):
    """The likeness that would tell as much over so many independent samples."""
    if evidence == -inf:
        return None
    at_none = 0.5 * np.log(2 * np.pi / max(independent, 1.0))
    gain = max(evidence - at_none, 0.0)
    return float(np.sqrt(-np.expm1(-2 * gain / max(independent - 1, 1.0))))


def _by(place, odds, lead, bonus):
    """Who lays the two together: the roughness, it and the chips, or nothing."""
    if place.likeness < LEAST_LIKENESS or lead < LEAST_LEAD or odds + bonus < LEAST_ODDS:
        return "nothing"
    return "roughness" if odds >= LEAST_ODDS else "roughness_and_chips"


def _apart(one, other, step):
    """Whether two candidates are different places."""
    away = one.on_second(other.middle_um) - other.on_second(other.middle_um)
    return abs(away) > APART * PEAK_PX * step


def _damage(measurement):
    """Place, length, depth and sign of every damage."""
    return [
        (one.position_um, one.length_um, one.depth_um, sign)
        for sign, kind in ((-1, measurement.chips), (1, measurement.rolls))
        for one in kind
    ]


def _bumps(before, after, place):
    """How far the two sound outlines stand apart over windows of several lengths: (µm, spread)."""
    step = max(before.um_per_px, after.um_per_px)
    grid = np.arange(before.position_um[0], before.position_um[-1], step)
    there = place.on_second(grid)
    sound = (there >= after.position_um[0]) & (there <= after.position_um[-1])
    for shown, where in ((before, grid), (after, there)):
        for middle, length, _, _ in _damage(shown):
            sound &= np.abs(where - middle) > 0.85 * length
    if sound.sum() < 20:
        return ()
    apart = np.interp(there, after.position_um, after.departure_um)
    apart = apart - np.interp(grid, before.position_um, before.departure_um)
    apart = apart[sound] - np.median(apart[sound])
    found, window = [], 1
    while window <= apart.size // 6:
        parts = apart[: apart.size // window * window].reshape(-1, window).mean(axis=1)
        found.append((window * step, 1.4826 * float(np.median(np.abs(parts)))))
        window *= 2
    return tuple(found)
