"""How many blades, stages, stations and photographs a difference worth knowing takes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, isfinite, sqrt

import numpy as np
from scipy.special import chdtri, nctdtr, stdtrit

from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.wear.plan.stage_schedule import stage_se

MOST_BLADES = 200


def power_to_tell(n, ratio, sd_log_life, *, level=0.95):
    """Power of the two-sided pooled t test to show a true ratio of lives, n blades a side.

    The same as `statsmodels.stats.power.TTestIndPower` to 1e-10 where that gives a number; from
    a shift of 9 standard errors on it gives nan, and its import takes 0.77 s.

    Parameters
    ----------
    n : array_like
        Blades a side, 2 or more (fractions allowed, for solving).
    ratio : array_like
        True ratio of lives, above 0.
    sd_log_life : array_like
        True scatter of log life between blades, reading uncertainty included.
    level : float
        Of the interval that is to leave out 1.

    Returns
    -------
    ndarray
        Exact, from the noncentral t; an interval that misses on the wrong side counts too.
    """
    n = np.asarray(n, dtype=float)
    df = 2 * n - 2
    shift = np.abs(np.log(ratio)) / (sd_log_life * np.sqrt(2 / n))
    critical = stdtrit(df, 0.5 + level / 2)
    far = shift > 37  # beyond the range of the series, where the power is 1
    shift = np.where(far, 0.0, shift)
    # The wrong side's share is below 1e-9 from a shift of 5 on, where its series can fail.
    wrong = np.where(shift < 5, nctdtr(df, np.minimum(shift, 5.0), -critical), 0.0)
    power = 1 - nctdtr(df, shift, critical) + wrong
    return np.where(far, 1.0, power)


def blades_to_tell(ratio, sd_log_life, *, power=0.8, level=0.95):
    """Blades a side for a chance `power` to show the ratio, as a fraction to be rounded up.

    Returns
    -------
    float
        inf where more than `MOST_BLADES` a side would be needed.

    Raises
    ------
    UnusableInput
        A ratio of 1 or not above 0, a scatter not above 0, a power not between level's error
        and 1.
    """
    if not (ratio > 0 and ratio != 1):
        raise UnusableInput(f"a ratio of {ratio:g}", "ratio", "give one above 0 that is not 1")
    if not sd_log_life > 0:
        raise UnusableInput(f"a scatter of {sd_log_life:g}", "sd_log_life", "give one above 0")
    if not 1 - level < power < 1:
        raise UnusableInput(f"a power of {power:g}", "power", "give a share such as 0.8")

    def reached(n):
        return float(power_to_tell(n, ratio, sd_log_life, level=level))

    low, high = 2.0, float(MOST_BLADES)
    if reached(low) >= power:
        return low
    if reached(high) < power:
        return float("inf")
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if reached(middle) < power else (low, middle)
    return high


def interval_factor(n, sd_log_life, *, level=0.95):
    """Factor by which a ratio's interval reaches up and down with n blades a side (typical).

    1.3 stands for "from 1/1.3 to 1.3 times the ratio found".
    """
    n = np.asarray(n, dtype=float)
    df = 2 * n - 2
    typical = sd_log_life * np.sqrt(chdtri(df, 0.5) / df)  # median of the scatter that is seen
    return np.exp(stdtrit(df, 0.5 + level / 2) * typical * np.sqrt(2 / n))


@dataclass(frozen=True)
class Option:
    """One way to lay the test out: its cost in readings and the blades that it needs."""

    stages: int
    stations: int
    photographs: int  # a station and stage
    reading_se: float  # of a blade's log life, from the readings
    sd_log_life: float  # between blades, readings included
    blades: int | None  # a side
    readings: int | None  # photographs in all, both sides

    def to_dict(self):
        """JSON-plain values."""
        return {
            "stages": self.stages,
            "stations": self.stations,
            "photographs": self.photographs,
            "reading_se": self.reading_se,
            "sd_log_life": self.sd_log_life,
            "blades": self.blades,
            "readings": self.readings,
        }


@dataclass(frozen=True)
class StudyPlan:
    """Blades for a ratio worth knowing, the power curve, and what else could be done."""

    ratio: float
    power: float
    level: float
    sd_blades: float
    chosen: Option
    blades_low: int | None  # 80 % range from what is known of the scatter
    blades_high: int | None
    curve_blades: tuple[int, ...]
    curve_power: tuple[float, ...]
    curve_factor: tuple[float, ...]
    options: tuple[Option, ...]

    def to_dict(self):
        """JSON-plain values."""
        return {
            "ratio": self.ratio,
            "power": self.power,
            "level": self.level,
            "sd_blades": self.sd_blades,
            "chosen": self.chosen.to_dict(),
            "blades": self.chosen.blades,
            "blades_low": self.blades_low,
            "blades_high": self.blades_high,
            "curve": [
                {"blades": n, "power": plain(p), "factor": plain(f)}
                for n, p, f in zip(
                    self.curve_blades, self.curve_power, self.curve_factor, strict=True
                )
            ],
            "options": [option.to_dict() for option in self.options],
        }

    def to_frame(self):
        """The options, one row each."""
        import pandas as pd

        return pd.DataFrame([option.to_dict() for option in self.options])

    def summary(self):
        """The plan as a maker reads it out."""
        more = f"{100 * abs(self.ratio - 1):.0f} % {'longer' if self.ratio > 1 else 'shorter'}"
        if self.chosen.blades is None:
            return (
                f"A life {more} cannot be shown with up to {MOST_BLADES} blades a side at this "
                "scatter; look for a larger difference or take scatter out (blocks, control blade)."
            )
        share = self.chosen.reading_se**2 / self.chosen.sd_log_life**2
        lines = [
            f"To show a life {more} with a chance of {100 * self.power:.0f} %: "
            f"{self.chosen.blades} blades of each heat treatment"
        ]
        if self.blades_low is not None:
            high = "many more" if self.blades_high is None else f"{self.blades_high}"
            lines[0] += f" (from {self.blades_low} to {high}, by what is known of the scatter)"
        lines[0] += "."
        if share > 0.5:
            lines.append(
                f"{100 * share:.0f} % of the scatter is the readings': more stations, stages or "
                "photographs save blades."
            )
        else:
            lines.append(
                f"The readings make up {100 * share:.0f} % of the scatter; better readings save "
                "little, more blades save most."
            )
        return " ".join(lines)


@dataclass(frozen=True)
class Sampling:
    """Where and how often one blade is read.

    Attributes
    ----------
    cuts : array_like, shape (stages,)
        Stages at which the edge is read, cumulative cuts, 0 among them.
    stations : int
        Places along the edge at a stage.
    photographs : int
        At each of them.
    """

    cuts: Sequence[float]
    stations: int = 3
    photographs: int = 1


def plan_study(ratio, sd_blades, sampling, wear, *, power=0.8, level=0.95, sd_df=None):
    """Plan a comparison of two heat treatments.

    Parameters
    ----------
    ratio : float
        Ratio of lives worth knowing, such as 1.2.
    sd_blades : float
        Scatter of log life between blades of one heat treatment, without the readings'.
    sampling : Sampling
    wear : ExpectedWear
        Its `reading_cv` is that of one photograph's width at one station.
    power, level : float
        Chance to show the ratio; coverage of the interval that is to leave out 1.
    sd_df : float, optional
        Degrees of freedom behind `sd_blades` (history); gives the range of blades.

    Returns
    -------
    StudyPlan
    """
    cuts, stations = np.asarray(sampling.cuts, dtype=float), sampling.stations

    def option(stage_cuts, stations, photographs=sampling.photographs):
        cv = wear.reading_cv / sqrt(stations * photographs)
        se = stage_se(stage_cuts, replace(wear, reading_cv=cv))
        sd = float(np.hypot(sd_blades, se))
        found = blades_to_tell(ratio, sd, power=power, level=level)
        blades = ceil(found - 1e-9) if isfinite(found) else None
        per_blade = len(stage_cuts) * stations * photographs
        readings = 2 * blades * per_blade if blades else None
        return Option(len(stage_cuts), stations, photographs, float(se), sd, blades, readings)

    chosen = option(cuts, stations)
    others = [chosen]
    for more in sorted({max(1, stations // 2), stations, 2 * stations, 3 * stations}):
        others.append(option(cuts, more))
    half = np.unique(np.r_[cuts[::2], cuts[-1]])
    if len(half) >= 4:
        others.append(option(half, stations))
    low = high = None
    if sd_df:
        ends = sd_blades * np.sqrt(sd_df / chdtri(sd_df, np.array([0.1, 0.9])))
        numbers = [
            blades_to_tell(ratio, float(np.hypot(sd, chosen.reading_se)), power=power, level=level)
            for sd in ends
        ]
        low, high = (ceil(n - 1e-9) if isfinite(n) else None for n in numbers)
    curve = np.arange(2, 13)
    sd = chosen.sd_log_life
    return StudyPlan(
        ratio=float(ratio),
        power=power,
        level=level,
        sd_blades=float(sd_blades),
        chosen=chosen,
        blades_low=low,
        blades_high=high,
        curve_blades=tuple(curve.tolist()),
        curve_power=tuple(power_to_tell(curve, ratio, sd, level=level).tolist()),
        curve_factor=tuple(interval_factor(curve, sd, level=level).tolist()),
        options=tuple(dict.fromkeys(others)),
    )
