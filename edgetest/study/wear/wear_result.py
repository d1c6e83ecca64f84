"""What a study yields: readings in use, photographs measured, curves, the comparison."""

from dataclasses import dataclass, replace
from math import nan
from typing import Any

from edgetest.doubts import NOWHERE, Doubt, doubt, joined, retold, told
from edgetest.estimate import plain
from edgetest.store.logs import READINGS, Log
from edgetest.store.protocol import Protocol
from edgetest.store.records import Study
from edgetest.study.photos.photo_result import PhotoResult
from edgetest.study.wear.alternative_answers import Alternative
from edgetest.study.wear.card_readings import card_sums_of
from edgetest.study.wear.departed_facts import ProtocolDeparture
from edgetest.study.wear.group_titles import titled_comparison, titles_of
from edgetest.study.wear.headline import Headline, headline_of
from edgetest.study.wear.other_levels import AtLevel, level_words
from edgetest.study.wear.page_one import page_one
from edgetest.study.words import counted, name_of_reading, were
from edgetest.wear.compare.angle_share import AngleShare
from edgetest.wear.compare.comparison_result import Comparison, Ratio
from edgetest.wear.compare.equal_cuts import AtCuts
from edgetest.wear.compare.grind_share import GrindShare
from edgetest.wear.compare.thickness_share import ThicknessShare
from edgetest.wear.curve.curve_result import CurveFit, StudyFit
from edgetest.wear.curve.law_choice import LawScore
from edgetest.wear.graded.run_lives import RunLife, RunLives

# What stands in the JSON of a comparison that there is not.
NO_COMPARISON: dict[str, Any] = {
    "first": None,
    "second": None,
    "groups": [],
    "ratio": None,
    "other_interval": None,
    "with_history": None,
    "chances": None,
    "probability_longer": None,
    "probability_next_blade_outlasts": None,
    "practical": None,
    "blades_needed": None,
    "blades_needed_detail": None,
    "scope": None,
    "control": None,
    "look": None,
    "pairs": [],
}

FALLING = ("card_mm", "depth_mm")  # readings that fall as the edge dulls


@dataclass(frozen=True)
class UsedReading:
    """One reading of the log as the fit meets it, with what was typed and what was measured."""

    blade: str
    heat_treatment: str
    cuts: float
    station: str
    value: float
    lower: float
    upper: float
    relative_u: float
    source: str
    line: int
    run: str
    block: str = ""
    photo: str = ""
    typed: float | None = None
    measured: float | None = None
    excluded: bool = False
    reason: str = ""


@dataclass(frozen=True)
class Compared:
    """What the lives of the runs say of their heat treatments; nothing of it where they cannot.

    `doubts` are those of the study's side of it: why there is no comparison, what the edges'
    geometry may explain, curves that cross, what the verdict hangs on. The comparison has its
    own. `alternatives` are the other answers that one cause stands before.
    """

    comparison: Comparison | None = None
    levels: tuple[AtLevel, ...] = ()
    angles: AngleShare | None = None
    thickness: ThicknessShare | None = None
    doubts: tuple[Doubt, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    at_cuts: AtCuts | None = None
    totals: tuple[AtCuts, ...] = ()
    grinds: tuple[GrindShare, ...] = ()  # of every pair whose edges differ

    def to_dict(self):
        """What stands beside the comparison itself."""
        return {
            "alternatives": [one.to_dict() for one in self.alternatives],
            "at_cuts": self.at_cuts.to_dict() if self.at_cuts else None,
            "card_totals": [total.to_dict() for total in self.totals],
            "levels": [level.to_dict() for level in self.levels],
            "angles": self.angles.to_dict() if self.angles else None,
            "thickness": self.thickness.to_dict() if self.thickness else None,
            "grinds": [one.to_dict() for one in self.grinds],
        }


@dataclass(frozen=True)
class StudyResult:
    """Everything that one study says about one reading.

    `study_doubts` are those of the study as a whole; `doubts` has them with those of the fit,
    of each blade and of the comparison.
    """

    study: Study | None
    protocol: Protocol | None
    log: Log
    reading: str
    limit: float | str  # a grade, where its leaving ends a life
    photos: tuple[PhotoResult, ...]
    readings: tuple[UsedReading, ...]
    fit: StudyFit | RunLives
    compared: Compared = Compared()
    study_doubts: tuple[Doubt, ...] = ()
    title: str = ""
    laws: tuple[LawScore, ...] = ()
    limit_of_fresh: float | None = None
    departures: tuple[ProtocolDeparture, ...] = ()  # from what the protocol asks
    beside: Any = None  # what another reading of the log says: see `edgetest.study.wear.beside`

    @property
    def has_curves(self) -> bool:
        """Whether the lives come from wear curves; else they were noted, or read off grades."""
        return isinstance(self.fit, StudyFit)

    @property
    def comparison(self) -> Comparison | None:
        """The heat treatments compared; None where they were not or could not be."""
        return self.compared.comparison

    @property
    def ratio(self) -> Ratio | None:
        """How many times as long the second heat treatment lasts; None without a comparison."""
        return self.comparison.ratio if self.comparison else None

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Every doubt about the answer, the gravest first."""
        compared = self.comparison.doubts if self.comparison else ()
        found = retold((*compared, *self.fit_doubts()), self.compared.doubts)
        return joined(found, self.study_doubts)

    @property
    def headline(self) -> Headline:
        """The answer under the heat treatments' titles, what limits it, and the notes."""
        found = self.comparison and titled_comparison(self.comparison, titles_of(self.study))
        answer = found.sentences() if found else []
        at_cuts = self.compared.at_cuts
        if at_cuts is not None and at_cuts.leads:
            answer = [*self._titled(at_cuts).sentences(), *answer]
        look = found.look.summary() if found is not None and found.look is not None else ""
        return headline_of(answer, self.doubts, self.compared.alternatives, look)

    def beside_lives(self):
        """Sentences on the readings at equal cuts and on card totals that stand beside lives."""
        at_cuts = self.compared.at_cuts
        beside = [at_cuts] if at_cuts and not at_cuts.leads else []
        return [self._titled(each).summary() for each in (*beside, *self.compared.totals)]

    def level_words(self):
        """The ratio of lives by the limit, in words; needs a comparison."""
        titles = titles_of(self.study)
        titled = titled_comparison(self.comparison, titles)
        levels = [replace(each, comparison=titled_comparison(each.comparison, titles))
                  for each in self.compared.levels]  # fmt: skip
        rules = self.protocol.readings if self.protocol else ()
        units = READINGS | {rule.name: rule.unit or "" for rule in rules}
        return level_words(levels, titled, self.reading, units.get(self.reading, ""))

    def _titled(self, at_cuts):
        """Readings at equal cuts with the heat treatments under their titles."""
        comparison = titled_comparison(at_cuts.comparison, titles_of(self.study))
        return replace(at_cuts, comparison=comparison)

    def fit_doubts(self) -> tuple[Doubt, ...]:
        """Doubts of the wear curves: of all together, then of each blade."""
        return joined(self.fit.doubts, *(blade.doubts for blade in self.fit.blades))

    def to_dict(self):
        """Plain values: the curves, the comparison and the doubts."""
        return {
            "title": self.title,
            "protocol": self.protocol.id if self.protocol else None,
            "reading": self.reading,
            "limit": self.limit if isinstance(self.limit, str) else plain(self.limit),
            "limit_of_fresh": self.limit_of_fresh,
            "blades": [blade.to_dict() for blade in self.fit.blades],
            "power": self.fit.power.to_dict() if self.fit.power else None,
            "powers": {name: power.to_dict() for name, power in self.fit.powers.items()},
            "comparison": self.comparison.to_dict() if self.comparison else None,
            **self.compared.to_dict(),
            "laws": [law.to_dict() for law in self.laws],
            "headline": self.headline.to_dict(),
            **told(self.doubts),
        }

    def curves_to_dict(self):
        """The curve of every run as plain values, with the study's doubts and its card sums."""
        sums = self.card_sums()
        curves = []
        for fit in self.fit.blades:
            values = fit.to_dict()
            for key, entries in told(self.study_doubts).items():
                values[key] += entries
            card = {"card": sums[fit.blade].to_dict()} if fit.blade in sums else {}
            curves.append(values | card | self._together())
        return curves

    def _together(self):
        """What lives without curves say of the median life of each heat treatment."""
        if isinstance(self.fit, StudyFit):
            return {}
        return {"together": self.fit.together.to_dict() if self.fit.together else None}

    def card_sums(self):
        """Sums of card cut by run; empty for another reading."""
        return card_sums_of(self.readings) if self.reading == "card_mm" else {}

    def curve_words(self):
        """Every life, what the card cut comes to, and the study's doubts."""
        lines = [f"{blade}: {card.summary()}" for blade, card in self.card_sums().items()]
        fit = self.fit
        titles = titles_of(self.study)
        if isinstance(fit, StudyFit):
            lives = fit.summary(self._limit_of(), titles)
        else:
            lives = fit.summary(titles)
        return "\n".join([lives, *lines, *(one.text for one in self.study_doubts)])

    def _limit_of(self):
        """Unit and name of the reading that a limit is one of: "gf (thread severing force)"."""
        rules = self.protocol.readings if self.protocol else ()
        units = READINGS | {rule.name: rule.unit or "" for rule in rules}
        return f"{units.get(self.reading) or ''} ({name_of_reading(self.reading)})".strip()

    def comparison_to_dict(self):
        """The comparison as plain values, with what stands beside it and every doubt.

        Where there is none its values are None and its headline says why.
        """
        found = self.comparison.to_dict() if self.comparison else dict(NO_COMPARISON)
        if self.comparison is not None:
            hangs_on = [one.what for one in self.compared.alternatives if one.decides]
            found["practical"] = {**found["practical"], "hangs_on": hangs_on}
        return {
            **found,
            "headline": self.headline.to_dict(),
            "page_one": page_one(self).to_dict(),
            "summary": self.summary(),
            **told(self.doubts),
            **self.compared.to_dict(),
            "laws": [law.to_dict() for law in self.laws],
            "departures": [each.to_dict() for each in self.departures],
            "beside": self.beside.to_dict() if self.beside else None,
            "lives": None if self.has_curves else self.fit.to_dict(),
        }

    def to_frame(self):
        """One row a run: blade, heat treatment, life with its interval, what it rests on.

        Returns
        -------
        pandas.DataFrame
            Lives in cuts; `high` is inf where the life has no upper end, all three are nan
            where the run has no life.
        """
        import pandas as pd

        rows = []
        blades: tuple[CurveFit | RunLife, ...] = self.fit.blades
        for fit, treatment in zip(blades, self.treatments(), strict=True):
            life = fit.life
            rows.append(
                {
                    "blade": fit.blade,
                    "heat_treatment": treatment,
                    "life_cuts": life.cuts if life else nan,
                    "low": life.low if life else nan,
                    "high": life.high if life else nan,
                    "extrapolated": bool(life and life.extrapolated),
                    "censored": bool(life and life.censored),
                    "residual_cv": fit.residual_cv,
                    "doubts": " ".join(dict.fromkeys(one.code for one in fit.doubts)),
                }
            )
        return pd.DataFrame(rows)

    def treatments(self):
        """Heat treatment of every fitted run, in the order of the fit; "control" for that."""
        control = self.study.control if self.study else None
        of_run = {
            each.run: "control" if control and each.blade == control else each.heat_treatment
            for each in self.readings
        }
        return [of_run[fit.blade] for fit in self.fit.blades]

    def summary(self):
        """The answer as a maker reads it out; the lives where nothing is compared."""
        asked = (
            self.comparison
            or self.compared.at_cuts
            or any(one.code == "no_comparison" for one in self.study_doubts)
        )
        return self.headline.summary() if asked else self.fit.summary()

    def words(self):
        """The answer, the same ratio at other levels, what limits it, departures, notes."""
        lines = [*filter(None, [page_one(self).choice]), self.summary()]
        if self.compared.levels:
            lines.append(self.level_words().summary())
        if isinstance(self.fit, RunLives) and self.comparison is not None:
            lines += self.fit.lines()
        lines += self.beside_lives()
        departed = [f"Departure: {each.summary()}" for each in self.departures]
        return "\n".join([*lines, *self.headline.limits, *departed, *self.headline.notes])


def counted_doubt(code, count, *, where=NOWHERE):
    """A doubt about so many photographs or readings, the count said in words."""
    words = {"photographs": counted(count, "photograph"), "readings": were(count, "reading")}
    return doubt(code, where=where, **words)


def dulling(protocol, reading):
    """+1 where a reading rises as the edge dulls, -1 where it falls."""
    for rule in protocol.readings if protocol else ():
        if rule.name == reading:
            return 1 if rule.dulling == "rises" else -1
    return -1 if reading in FALLING else 1
