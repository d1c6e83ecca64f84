"""What a plan of blades says: blades needed, the chance by their number, other ways to read."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import hypot

from edgetest.estimate import plain
from edgetest.stats.power import SIMULATED, Power
from edgetest.wear.plan.pooled_blades import MOST_BLADES, power_to_tell, scatter_like
from edgetest.wear.plan.scatter_known import ScatterKnown
from edgetest.wear.plan.study_power import UNSAID

SD_GUESSED = 0.15  # of log life, where the line through simulated chances is begun


@dataclass(frozen=True)
class PlanWords:
    """What a plan compares and reads, as a maker says it."""

    more: str = "a life {share} % longer"  # of a ratio above 1
    less: str = "a life {share} % shorter"
    readings: str = "stations, stages or readings"  # of which more tell a blade better
    medium: str = "roll"  # what one blade of each heat treatment may share
    each: str = "blades in each heat treatment"  # what is counted in a plan


def _of_each(numbers):
    """Numbers of each heat treatment in words: one where they are alike."""
    return " and ".join(map(str, dict.fromkeys(numbers) if len(set(numbers)) == 1 else numbers))


def difference_words(ratio, words):
    """A ratio in the words of a plan: "a life 25 % longer"."""
    told = words.more if ratio > 1 else words.less
    return told.format(share=f"{100 * abs(ratio - 1):.0f}")


@dataclass(frozen=True)
class Option:
    """One way to lay the test out: its cost in readings and the blades that it needs."""

    stages: int  # or pieces a blade
    stations: int
    repeats: int  # readings a station and stage
    reading_se: float  # of a blade's log life, from the readings
    sd_log_life: float  # between blades, readings included
    blades: int | None  # of each heat treatment
    readings: int | None  # in all

    def to_dict(self):
        """JSON-plain values."""
        return {
            "stages": self.stages,
            "stations": self.stations,
            "repeats": self.repeats,
            "reading_se": plain(self.reading_se),
            "sd_log_life": plain(self.sd_log_life),
            "blades": self.blades,
            "readings": self.readings,
        }


@dataclass(frozen=True)
class Curve:
    """Chance to show the ratio and reach of its interval, by blades of each heat treatment."""

    blades: tuple[int, ...]
    powers: tuple[Power, ...]

    @property
    def chances(self):
        """Chance to show the ratio, by blades."""
        return tuple(power.value for power in self.powers)

    @property
    def standard_errors(self):
        """Of each chance, from the simulated tests; 0 where it was calculated."""
        return tuple(power.stderr or 0.0 for power in self.powers)

    @property
    def simulated(self):
        """Whether the chances come from simulated studies, with their standard errors."""
        return any(power.how == SIMULATED for power in self.powers)

    def through(self, ratio, level=0.95):
        """The chances on one line through all: a number needed is read off it, not off a point.

        Of simulated chances it is the pooled t that lies nearest to them together; exact ones
        stand as they are.
        """
        if not self.simulated:
            return self.chances
        sd = SD_GUESSED
        for _ in range(2):
            sd = scatter_like(self, ratio, sd, level=level)
        return tuple(power_to_tell(self.blades, ratio, sd, level=level).tolist())

    def to_list(self):
        """One plain dict a number of blades."""
        return [
            {"blades": n, **power.to_dict()}
            for n, power in zip(self.blades, self.powers, strict=True)
        ]


@dataclass(frozen=True)
class InBatches:
    """The chance to show the ratio where so many blades of each come out of few batches."""

    blades: int  # of each heat treatment
    batches: int  # of each heat treatment; the comparison counts each once
    power: Power

    def to_dict(self):
        """JSON-plain values."""
        return {"blades": self.blades, "batches": self.batches, **self.power.to_dict()}


@dataclass(frozen=True)
class Otherwise:
    """The chance of the study's own blades, each cut once in each of so many blocks.

    `weighed` where batches are named that count on one roll, and on several do not.
    """

    times: int  # that each blade is cut, every time sharpened anew
    power: Power
    weighed: bool = False

    def to_dict(self):
        """JSON-plain values."""
        return {"times": self.times, **self.power.to_dict()}


@dataclass(frozen=True)
class StudyPlan:
    """Blades for a ratio worth knowing, the power curve, and what else could be done."""

    ratio: float
    power: float
    level: float
    sd_blades: float
    chosen: Option
    curve: Curve
    options: tuple[Option, ...]
    as_planned: Power | None  # of the study's own blades and runs
    blades_planned: tuple[int, ...]  # of each heat treatment, in the study
    treatments: int
    words: PlanWords = PlanWords()
    batches_planned: tuple[int, ...] = ()  # of each heat treatment, where every blade names one
    in_batches: tuple[InBatches, ...] = ()  # where no batches are named
    sd_batches: float | None = None  # between batches of one heat treatment, where it is known
    otherwise: tuple[Otherwise, ...] = ()  # the study's own blades, laid out in other ways
    known: ScatterKnown | None = None  # how surely the scatter is; None where it is given
    even: Mapping[int, Power] = field(default_factory=dict)  # by blocks that the own divide over

    @property
    def simulated(self):
        """Whether the chances come from simulated studies."""
        return self.curve.simulated

    def to_dict(self):
        """JSON-plain values."""
        return {
            "ratio": self.ratio,
            "power": self.power,
            "level": self.level,
            "sd_blades": self.sd_blades,
            "chosen": self.chosen.to_dict(),
            "blades": self.chosen.blades,
            "blades_low": self.known.blades_low if self.known else None,
            "blades_high": self.known.blades_high if self.known else None,
            "scatter_known": self.known.to_dict() if self.known else None,
            "heat_treatments": self.treatments,
            "as_planned": None
            if self.as_planned is None
            else {"blades": list(self.blades_planned), **self.as_planned.to_dict()},
            "curve": self.curve.to_list(),
            "options": [option.to_dict() for option in self.options],
            "sd_batches": self.sd_batches,
            "batches_planned": list(self.batches_planned),
            "in_batches": [each.to_dict() for each in self.in_batches],
            "otherwise": [each.to_dict() for each in self.otherwise],
        }

    def to_frame(self):
        """The options, one row each."""
        import pandas as pd

        return pd.DataFrame([option.to_dict() for option in self.options])

    @property
    def _batches_count(self):
        """Whether blades of one heat treatment share a batch in the study."""
        held = zip(self.batches_planned, self.blades_planned, strict=False)
        return any(batches < blades for batches, blades in held)

    def blocks_that_help(self):
        """Numbers of blocks over which the own blades divide, and show it by a better chance.

        Better by more than the simulation's own chance: two standard errors.
        """
        own = self.as_planned
        if own is None:
            return {}
        return {
            blocks: power
            for blocks, power in self.even.items()
            if power.method != UNSAID
            and power.value - own.value > 2 * hypot(power.stderr, own.stderr)
        }

    @property
    def difference(self):
        """The ratio in words: "a life 25 % longer"."""
        return difference_words(self.ratio, self.words)

    def in_short(self):
        """What the study's own blades can show, else how many it takes; for a bench sheet."""
        own = self.as_planned
        if own is not None and min(self.blades_planned) > 1 and own.method != UNSAID:
            most = " at the most" if self._batches_count and self.sd_batches is None else ""
            value = self.known.own.value if self.known and self.known.own else own.value
            return f"chance to show {self.difference}: {100 * value:.0f} %{most}"
        return f"{self.chosen.blades or 'too many'} blades of each would show {self.difference}"

    def summary(self):
        """The plan as a maker reads it out."""
        lines = [*self._own(), *self._otherwise()]
        if self.chosen.blades is None:
            lines.append(
                f"{self.difference[:1].upper()}{self.difference[1:]} cannot be shown with up to "
                f"{MOST_BLADES} blades a side at this scatter; look for a larger difference or "
                f"take scatter out (one {self.words.medium} for a blade of each heat treatment)."
            )
            return " ".join([*lines, *self._known()])
        need = (
            f"To show {self.difference} with a chance of {100 * self.power:.0f} %: "
            f"{self.chosen.blades} blades of each heat treatment"
        )
        if self.known:
            need += ", averaged over how far blades may scatter"
        lines += self._batches()
        need += ". To show a smaller one, or that both are alike to within less, takes more."
        return " ".join([need, *self._known(), *lines, *self._method(), *self._reading_share()])

    def _known(self):
        """How surely the scatter is known; nothing where it is given."""
        return [self.known.summary()] if self.known else []

    def _own(self):
        """What the study's own blades can show."""
        if self.as_planned is None:
            return
        numbers, chance = self.blades_planned, f"{100 * self.as_planned.value:.0f} %"
        if min(numbers) < 2:
            yield (
                "One blade of a heat treatment tells of that blade, not of the heat treatment: "
                "this study's own blades cannot show it."
            )
            return
        told = f"{_of_each(numbers)} blades{' of each' * (len(set(numbers)) == 1)}"
        if self._batches_count:
            one = set(self.batches_planned) == {1}
            told = f"{told}, in {_of_each(self.batches_planned)} batch{'' if one else 'es'},"
        if self.as_planned.method == UNSAID:
            yield f"This study's own {told} tell of their batches, not of heat treatments."
        elif self._batches_count and self.sd_batches is None:
            yield (
                f"With this study's own {told} the chance is {chance} at the most"
                f"{self._own_averaged()}: how far your batches differ is not known."
            )
        else:
            yield f"With this study's own {told} the chance is {chance}{self._own_averaged()}."

    def _own_averaged(self):
        """The own chance averaged over the scatter, where that is known only so well."""
        if not (self.known and self.known.own):
            return ""
        return f" at the middle of the scatter, {100 * self.known.own.value:.0f} % averaged over it"

    def _otherwise(self):
        """What the study's own blades show on one roll, and cut a second time."""
        for each in self.otherwise:
            about = "about " * (each.power.how == SIMULATED)
            chance = f"{about}{100 * each.power.value:.0f} %"
            if each.times > 1:
                yield (
                    "The same blades sharpened and cut twice, each once in each of two blocks: "
                    f"{chance}, if half of a blade's scatter comes with its sharpening and its run "
                    "(our choice): a second run averages out that half, not the blade's own."
                )
                continue
            told = f"The same blades cut once, all in one block (one {self.words.medium}, one day)"
            if self.as_planned and each.power.value > self.as_planned.value:
                yield (
                    f"{told}: {chance}; each block more is one unknown more, to be told from the "
                    "same lives."
                )
            elif each.weighed:
                yield (
                    f"{told}: {chance}. On one {self.words.medium} your batches are weighed, on "
                    "several they are only named, so this does not say that the split helps."
                )
            else:
                yield f"{told}: {chance}."

    def _batches(self):
        """What the same blades show where they come out of few batches; nothing where named."""
        if not self.in_batches:
            return
        most = " at the most" if self.sd_batches is None else ""
        blades = self.in_batches[0].blades
        told = ", ".join(
            f"in {each.batches} batches {100 * each.power.value:.0f} %{most}"
            for each in self.in_batches
        )
        unknown = "; how far your batches differ is not known" if most else ""
        yield (
            f"That counts every blade as hardened and tempered by itself. With {blades} blades of "
            f"each the chance is {told}, and in one batch each nothing is shown of heat "
            f"treatments{unknown}."
        )

    def _method(self):
        """By what the chances were got."""
        if not self.simulated:
            return
        worst = round(100 * max(power.stderr for power in self.curve.powers))
        yield (
            "The chances come from simulated studies that went through the comparison itself "
            f"(standard error up to {worst} point{'s' * (worst != 1)})."
        )

    def _reading_share(self):
        """Whether more blades or more readings help."""
        if not self.chosen.reading_se > 0:
            return
        share = self.chosen.reading_se**2 / self.chosen.sd_log_life**2
        if share > 0.5:
            yield (
                f"{100 * share:.0f} % of the scatter is the readings': more "
                f"{self.words.readings} save blades."
            )
        else:
            yield (
                f"The readings make up {100 * share:.0f} % of the scatter; better readings save "
                "little, more blades save most."
            )
