"""The same edge before and after: both outlines laid together, and how each chip has grown."""

from dataclasses import dataclass, field, replace

import numpy as np

from edgetest.doubts import Doubt, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.photo.departures import LEAST_PX, SIGMAS, Departure
from edgetest.photo.side.faint_before import FaintBefore, faint_before
from edgetest.photo.side.laid_together import LaidTogether, lay_together
from edgetest.photo.side.side_view import ProfileMeasurement

KINDS = ("chips", "rolls")
MERGED = 0.5  # of an old chip's length: its place lies so deep in a new one that both are one


@dataclass(frozen=True)
class Followed:
    """One place of damage before and after; `growth_um` of its depth, with its interval.

    Where the two outlines could not be laid together there is no growth, and the place is on
    the picture's own scale. `faint` is what the first outline shows where only the second has
    damage that counts; where it was damaged there already, there is no growth either: new, grown
    or the same is unknown.
    """

    before: Departure | None
    after: Departure | None
    position_um: float  # on the first picture's scale
    growth_um: float | None = None
    low_um: float | None = None
    high_um: float | None = None
    faint: FaintBefore | None = None

    @property
    def word(self):
        """How it fared: "new", "gone", "grown", "shrunk", "same" or "unknown"."""
        if self.growth_um is None or self.low_um is None or self.high_um is None:
            return "unknown"
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        if self.low_um > 0:
            return "grown"
        return "shrunk" if self.high_um < 0 else "same"

    @property
    def only_after(self):
        """Whether only the second picture has it, new or unknown."""
        return self.before is None

    @property
    def dented_before(self):
        """Whether the first outline was damaged there too, too little to be counted."""
        return self.growth_um is None and self.faint is not None and self.faint.seen

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "position_um": plain(self.position_um),
            "state": self.word,
            "before": self.before.to_dict() if self.before else None,
            "faint_before": self.faint.to_dict() if self.faint else None,
            "after": self.after.to_dict() if self.after else None,
            "growth_um": plain(self.growth_um),
            "low_um": plain(self.low_um),
            "high_um": plain(self.high_um),
        }


@dataclass(frozen=True)
class Following:
    """Two pictures of one edge, laid together or not.

    `new_at_least` and `new_at_most` bound the damage of the second that is new, whatever the
    first shows; `new_at_least_if_same_stretch` is the one count less the other.
    """

    laid: LaidTogether
    overlap_um: float
    chips: tuple[Followed, ...]
    rolls: tuple[Followed, ...]
    new_at_least_if_same_stretch: int
    doubts: tuple[Doubt, ...] = field(default=())

    @property
    def accepted(self):
        """Whether states and growth are said at all."""
        return self.laid.accepted

    @property
    def shift_um(self):
        """Added to a place of the first, in the middle of both, to find it on the second, µm."""
        return self.laid.shift_um if self.accepted else None

    @property
    def likeness(self):
        """Correlation of the sound edge's roughness there (1 = the same)."""
        return self.laid.likeness

    @property
    def new_at_least(self):
        """Chips and rolls that are new for sure."""
        return sum(one.word == "new" for one in (*self.chips, *self.rolls))

    @property
    def new_at_most(self):
        """Those of the second that no old one was found for."""
        both = (*self.chips, *self.rolls)
        return sum(one.only_after for one in both)

    def to_dict(self):
        """Plain values for JSON."""
        return {
            **self.laid.to_dict(),
            "overlap_um": plain(self.overlap_um),
            "new_at_least": self.new_at_least,
            "new_at_most": self.new_at_most,
            "new_at_least_if_same_stretch": self.new_at_least_if_same_stretch,
            "chips": [one.to_dict() for one in self.chips],
            "rolls": [one.to_dict() for one in self.rolls],
            **told(self.doubts),
        }

    def summary(self):
        """What a maker reads out."""
        both = (*self.chips, *self.rolls)
        if not self.accepted:
            most = self.new_at_most
            least = self.new_at_least_if_same_stretch
            if not most:
                return "The two were not laid together; the second shows no damage"
            same = f", {least} at least if both show the same stretch" if least else ""
            return (
                f"The two were not laid together ({self.laid.words()}). New or old: unknown."
                f" At most {most} of the second's chips and rolls are new{same}"
            )
        words = [one.word for one in both]
        order = ("new", "grown", "same", "shrunk", "gone", "unknown")
        parts = [f"{words.count(word)} {word}" for word in order if word in words]
        return (
            f"{self.overlap_um / 1000:.2f} mm of edge on both ({self.laid.words()}): "
            f"{', '.join(parts) or 'no damage'}"
        )


def follow(before, after, *, shift_um=None, level_factor=1.96):
    """Match the damage of one edge on two measurements of its side.

    Parameters
    ----------
    before, after : ProfileMeasurement
        Measured; the scales may differ.
    shift_um : float, optional
        Where the first picture's zero lies on the second, by the maker's word; found from the
        sound edge's roughness otherwise.
    level_factor : float
        Standard uncertainties on each side of a growth.

    Returns
    -------
    Following
        Where the two cannot be laid together, of state "unknown" throughout.

    Raises
    ------
    UnusableInput
        If one was refused, or the shift given is no number or leaves no edge on both.
    """
    for name, one in (("before", before), ("after", after)):
        if one.status != "measured":
            what = "this photograph was not measured"
            raise UnusableInput(what, where=name, mend="give one that can be measured")
    laid = lay_together(before, after, shift_um=shift_um)
    fewer = max(0, sum(len(getattr(after, kind)) - len(getattr(before, kind)) for kind in KINDS))
    if not laid.accepted:
        chips, rolls = (_unknown(before, after, kind) for kind in KINDS)
        return Following(laid, 0.0, chips, rolls, fewer, (doubt("not_laid_together"),))
    low, high = laid.overlap(before.position_um, after.position_um)
    pair = _Pair(before, after, laid, (low, high), level_factor)
    chips, rolls = (_matched(pair, kind) for kind in KINDS)
    doubts = [doubt("laid_by_word")] if laid.by == "maker" else []
    if laid.contradicted:
        doubts.append(doubt("shift_contradicted", found=f"{laid.found_um:.0f}"))
    doubts += _of_unknown((*chips, *rolls), level_factor)
    return Following(laid, float(high - low), chips, rolls, fewer, tuple(doubts))


def _of_unknown(places, factor):
    """Why some places are unknown though the two lie together."""
    faint = [one for one in places if one.dented_before]
    if faint:
        at = ", ".join(f"{one.position_um / 1000:.2f}" for one in faint)
        deepest = max(one.faint.interval(factor)[1] for one in faint)
        yield doubt("dented_before", at=at, deepest=f"{deepest:.2g}")
    if any(one.word == "unknown" and not one.dented_before for one in places):
        yield doubt("damage_on_one_only")


def _unknown(before, after, kind):
    """Every place of damage as it stands, new or old unknown."""
    return (
        *(Followed(one, None, one.position_um) for one in getattr(before, kind)),
        *(Followed(None, one, one.position_um) for one in getattr(after, kind)),
    )


@dataclass(frozen=True)
class _Pair:
    """Both measurements, where they lie, what they share, and the level's factor."""

    before: ProfileMeasurement
    after: ProfileMeasurement
    laid: LaidTogether
    overlap: tuple[float, float]
    factor: float

    def shared(self, place_um):
        """Whether a place of the first is on both."""
        return self.overlap[0] <= place_um <= self.overlap[1]


def _matched(pair, kind):
    """Damage at the same place, seen on one picture only, or where only one picture shows edge."""
    left, found = list(getattr(pair.after, kind)), []
    taken = []
    for one in sorted(getattr(pair.before, kind), key=lambda item: -item.depth_um):
        there = pair.laid.on_second(one.position_um)
        if not pair.shared(one.position_um):
            found.append(Followed(one, None, float(one.position_um)))
            continue
        best = min(
            (x for x in left if _near(one, x, there, pair.laid.shift_u_um)),
            key=lambda x: abs(x.position_um - there),
            default=None,
        )
        if best is not None:
            left.remove(best)
            taken.append(best)
        elif any(abs(x.position_um - there) <= MERGED * x.length_um for x in taken):
            continue  # run together with a deeper one beside it, which carries the growth
        found.append(_followed(one, best, one.position_um, pair))
    for one in left:
        place = pair.laid.on_first(one.position_um)
        found.append(_only_after(one, place, pair, -1 if kind == "chips" else 1))
    return tuple(sorted(found, key=lambda item: item.position_um))


def _only_after(one, place, pair, sign):
    """New, or unknown where the first shows no edge or was faintly damaged there already."""
    if not pair.shared(place):
        return Followed(None, one, float(place))
    faint = faint_before(pair.before, pair.after, pair.laid, one, sign)
    if faint is not None and faint.seen:
        return Followed(None, one, float(place), faint=faint)
    return replace(_followed(None, one, place, pair), faint=faint)


def _near(before, after, there, shift_u_um):
    """Whether both can be one place of damage."""
    reach = 0.5 * max(before.length_um, after.length_um) + 3 * shift_u_um
    return abs(after.position_um - there) <= reach


def _followed(before, after, position_um, pair):
    """Growth of the depth and its interval, the laying's error and the unseen in it."""
    depths = [one.depth_um if one else 0.0 for one in (before, after)]
    u = [one.depth_u_um if one else _unseen(m) for one, m in
         ((before, pair.before), (after, pair.after))]  # fmt: skip
    length = max(one.length_um for one in (before, after) if one)
    laid = pair.laid.depth_u_um(length, max(depths))
    growth = depths[1] - depths[0]
    half = pair.factor * float(np.sqrt(u[0] ** 2 + u[1] ** 2 + laid**2))
    low, high = growth - half, growth + half
    return Followed(before, after, float(position_um), float(growth), float(low), float(high))


def _unseen(measurement):
    """Standard uncertainty of "no damage here": shallower than the threshold is not seen."""
    least = max(SIGMAS * (measurement.roughness_um or 0.0), LEAST_PX * measurement.um_per_px)
    return least / np.sqrt(3)
