"""Which of the tempers of a piece is to be taken, by a blade that stood or by its readings?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from edgetest.steel.further_tempers import OVEN_C, left_last, tempers_left
from edgetest.steel.hotter_harder import not_the_coldest
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, TemperSeen, TrialSeen
from edgetest.steel.tried_blades import BRITTLE, EDGED, GIVEN_WAY, temper_of, tried_blades

# Tempers between which many spring steels are less tough than after cooler ones; how high that lies
# varies with silicon. Common practice, no source.
BRITTLE_FROM_C, BRITTLE_TO_C = 250.0, 370.0
ALIKE_HRC = 0.5  # tempers whose readings lie so alike to the middle wanted count as equally near


@dataclass(frozen=True)
class TemperRead:
    """A temper, the ends of what was read after it, HRC, and the heat that it was of."""

    temper: TemperSeen
    low_hrc: float
    high_hrc: float
    heat: HeatSeen


def tempers_read(heats: Iterable[HeatSeen]) -> list[TemperRead]:
    """Each temper of the steel as it is, read with both ends; of alike ones of a coupon the last.

    One that a hotter temper came before is not told by what was read after it, and one too short
    to warm the steel through is none.
    """
    found: dict[tuple[Any, ...], TemperRead] = {}
    for heat in heats:
        for temper, left in () if heat.carburised else tempers_left(heat):
            ends = None if temper.short else _ends(temper.hardness)
            if temper.temperature_c is not None and ends is not None and left is temper:
                key = (heat.coupon, round(temper.temperature_c), temper.repeats, temper.time_min)
                found[key] = TemperRead(temper, *ends, heat)
    return list(found.values())


def nearest_reads(
    heats: Iterable[HeatSeen], wanted_hrc: tuple[float, float], trials: Sequence[TrialSeen] = ()
) -> tuple[TemperRead, ...]:
    """The tempers read nearest to the hardness wanted; none where no reading touched it.

    None from which a coupon rolled or took a set, nor a hotter one: that is too soft, whatever the
    file said. None either at which a coupon chipped that stood when it was tempered hotter.
    """
    heats = tuple(heats)
    most, brittle = too_soft_from_c(heats, trials), chipped_reads(heats, trials)
    read = [one for one in tempers_read(heats) if (one.temper.temperature_c or 0.0) < most]
    read = [one for one in read if one not in brittle]
    low, high = wanted_hrc
    if not any(one.low_hrc <= high and one.high_hrc >= low for one in read):
        return ()
    off = [abs((one.low_hrc + one.high_hrc) - (low + high)) / 2 for one in read]
    near = zip(read, off, strict=True)
    return tuple(each for each, far in near if far <= min(off) + ALIKE_HRC)


def too_soft_from_c(heats: Iterable[HeatSeen], trials: Sequence[TrialSeen]) -> float:
    """The coolest temper at which a coupon gave way, less what an oven swings, °C; inf for none."""
    last = {(heat.coupon, heat.heat): left_last(heat) for heat in heats}
    gave = [one for one in trials if one.trial not in EDGED and one.edge in GIVEN_WAY]
    at_c = [_temper_c(one, last) for one in gave if not _sound_since(one, trials, last)]
    return min((one - OVEN_C for one in at_c if one is not None), default=inf)


def chipped_reads(heats: Iterable[HeatSeen], trials: Sequence[TrialSeen]) -> tuple[TemperRead, ...]:
    """Tempers read of a coupon whose edge chipped or broke at them, or hotter, and stood after.

    Only where it stood at a hotter temper still: the rod outranks the file.
    """
    heats = tuple(heats)
    last = {(heat.coupon, heat.heat): left_last(heat) for heat in heats}
    gave = [one for one in trials if one.heat and _chipped(one)]
    cool = [(one.heat, _temper_c(one, last)) for one in gave if _stood_hotter(one, trials, last)]
    return tuple(
        one
        for one in tempers_read(heats)
        if any(
            place == (one.heat.coupon, one.heat.heat)
            and (one.temper.temperature_c or 0.0) <= was + OVEN_C
            for place, was in cool
        )
    )


def _chipped(trial):
    """Whether a coupon chipped or broke, and neither by what it hit nor by a poor edge."""
    blamed = trial.hit or trial.poor_edge or trial.trial in EDGED
    return trial.edge in BRITTLE and not blamed


def _stood_hotter(gave, trials, last):
    """Whether a coupon that chipped was sound since at a hotter temper, and at none as cool."""
    was = _temper_c(gave, last) or inf
    after = trials[trials.index(gave) + 1 :]
    alike = [one for one in after if (one.trial, one.heat) == (gave.trial, gave.heat)]
    stood = [_temper_c(one, last) or 0.0 for one in alike if one.edge == "sound"]
    return min(stood, default=0.0) > was + OVEN_C


def _temper_c(trial, last):
    """The temper of a coupon when it was tried: as its trial names it, else its last one."""
    left = last.get(trial.heat) if trial.heat else None
    return trial.temper_c or (None if left is None else left.temperature_c)


def _sound_since(gave, trials, last):
    """Whether a coupon tempered as hot was sound after it: then the first was a poor edge."""
    later = [one for one in trials[trials.index(gave) + 1 :] if one.trial == gave.trial]
    was = _temper_c(gave, last) or inf
    return any(one.edge == "sound" and (_temper_c(one, last) or 0.0) >= was for one in later)


def to_take(near: Iterable[TemperRead]) -> TemperRead | None:
    """Of tempers that read alike the hottest, which is the toughest up to about 250 °C.

    Many carbon and low-alloy spring steels lose toughness tempered at about 250 to 370 °C: there
    a bend and the brass rod decide. Common practice, no source.
    """
    return max(near, key=lambda one: one.temper.temperature_c or 0.0, default=None)


def hottest_words(at_c: float) -> str:
    """Why the hottest of tempers that read alike is taken, and from where on that ends."""
    alike = ", and of tempers that read alike the hottest is the toughest"
    if at_c <= BRITTLE_FROM_C:
        return f"{alike} (common practice, no source)"
    return (
        f"{alike} up to about {BRITTLE_FROM_C:g} °C; hotter than that, till about "
        f"{BRITTLE_TO_C:g} °C, many carbon and low-alloy spring steels lose toughness, and the "
        "bend and the brass rod decide (common practice, no source)"
    )


def models(heats: Sequence[HeatSeen], trials: Sequence[TrialSeen]) -> list[HeatSeen]:
    """Heats of a piece whose tempers may be followed: none of a blade whose edge gave out.

    None either that a hotter heat came out wholly harder than.
    """
    blades = tried_blades(trials, heats)
    failed, stood = ({b.at for b in blades if b.gave_out}, {b.at for b in blades if b.stood})
    own = [one for one in heats if (one.coupon, one.heat) not in failed - stood]
    right = stood | {(one.coupon, one.heat) for one in not_the_coldest(heats)}
    return [one for one in own if (one.coupon, one.heat) in right]


def advised_c(
    heats: Sequence[HeatSeen], trials: Sequence[TrialSeen], wanted_hrc: tuple[float, float]
) -> float | None:
    """The temper to take, °C: that of the blade that stood at the last, else by the readings.

    Parameters
    ----------
    heats, trials : sequences
        Of one piece as it is.
    wanted_hrc : (float, float)
        After the temper.

    Returns
    -------
    float or None
        None where no temper is known to serve.
    """
    blades = tried_blades(trials, heats)
    if blades and blades[-1].stood:
        had = temper_of(blades[-1], blades, heats)
        return None if had is None else had.temperature_c
    best = to_take(nearest_reads(models(heats, trials), wanted_hrc, trials))
    return None if best is None else best.temper.temperature_c


def _ends(readings: tuple[HardnessSeen, ...]) -> tuple[float, float] | None:
    """Lowest and highest of readings that have both ends, below the skin where there are such."""
    both = [one for one in readings if one.low_hrc is not None and one.high_hrc is not None]
    both = [one for one in both if one.where == "below"] or both
    lows = [one.low_hrc for one in both if one.low_hrc is not None]
    highs = [one.high_hrc for one in both if one.high_hrc is not None]
    return (min(lows), max(highs)) if both else None
