"""Grades and pass/fail checks: when each blade left a grade, and whose blades left it later."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from edgetest.doubts import Doubt, doubt, joined, sentences, told
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, checked_level
from edgetest.store.logs import PASS_FAIL
from edgetest.study.sources import sound
from edgetest.study.wear.study_readings import treatment_of
from edgetest.wear.graded.grade_lives import GradeLife, grade_lives

if TYPE_CHECKING:  # a log of numbers is compared without them
    from edgetest.wear.graded.life_distributions import LifeFit


@dataclass(frozen=True)
class GradeResult:
    """Lives to leaving a grade, each known to an interval, and what they say together.

    `study_doubts` are those of the study as a whole; `doubts` has them with those of each
    blade and of what is said of them together.
    """

    title: str
    reading: str
    leaves: str
    lives: tuple[GradeLife, ...]
    treatments: tuple[str, ...]
    fit: LifeFit | None
    study_doubts: tuple[Doubt, ...]

    @property
    def ratio(self) -> Estimate | None:
        """How many times as long the second of two heat treatments lasts, else None."""
        ratios = self.fit.ratios if self.fit else ()
        return ratios[0][2] if len(ratios) == 1 else None

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Every doubt about the answer, the gravest first."""
        fit = self.fit.doubts if self.fit else ()
        return joined(self.study_doubts, fit, *(life.doubts for life in self.lives))

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "title": self.title,
            "reading": self.reading,
            "grade": self.leaves,
            "blades": [life.to_dict() for life in self.lives],
            "lives": self.fit.to_dict() if self.fit else None,
            **told(self.doubts),
        }

    def comparison_to_dict(self):
        """All of it: what is said of the lives together stands in "lives"."""
        return self.to_dict()

    def curves_to_dict(self):
        """The life of every blade."""
        return [life.to_dict() for life in self.lives]

    def to_frame(self):
        """One row a blade: heat treatment, and the cuts between which it left the grade.

        Returns
        -------
        pandas.DataFrame
            `high` is inf where the blade still held the grade when the test stopped.
        """
        import pandas as pd

        rows = [
            {
                "blade": life.blade,
                "heat_treatment": treatment,
                "low": life.low,
                "high": life.high,
                "checks": life.checks,
                "censored": life.high == inf,
                "doubts": " ".join(one.code for one in life.doubts),
            }
            for life, treatment in zip(self.lives, self.treatments, strict=True)
        ]
        return pd.DataFrame(rows)

    def summary(self):
        """The lives and what they say, a line each."""
        lines = [life.summary() for life in self.lives]
        lines.append(self.fit.summary() if self.fit else self.study_doubts[-1].text)
        return "\n".join(lines)

    def words(self):
        """The lives, what they say, and the doubts."""
        lines = self.summary().split("\n")
        return "\n".join(lines + [text for text in sentences(self.doubts) if text not in lines])

    curve_words = words


def is_graded(source, reading):
    """Whether a reading is a grade or pass/fail rather than a number."""
    if source.protocol is not None:
        kinds = {rule.name: rule.kind for rule in source.protocol.readings}
        return kinds.get(reading, "number") != "number"
    return reading in ("grade", "pass_fail")


def ladder_of(source, reading):
    """The grades of a reading from sharpest to dullest.

    Raises
    ------
    UnusableInput
        For grades of a log that no protocol orders.
    """
    if source.protocol is not None and source.protocol.reading(reading).kind == "grade":
        return source.protocol.ladder
    if reading == "grade":
        raise UnusableInput(
            "grades on their own are in no order",
            where=source.log.name,
            mend="make a study with a protocol that has a ladder (`edgetest new`)",
        )
    return PASS_FAIL


def analyse_grades(source, *, reading, leaves=None, level=0.95):
    """Lives to leaving a grade, compared between heat treatments.

    Parameters
    ----------
    source : Source
    reading : str
        The graded reading.
    leaves : str, optional
        The grade whose leaving ends a life; default: the study's limit, else the sharpest.
    level : float

    Returns
    -------
    GradeResult

    Raises
    ------
    UnusableInput
        Where the log has faults or holds no such reading, or the level is none.
    """
    checked_level(level)
    sound(source)
    study = source.study
    ladder = ladder_of(source, reading)
    if leaves is None:
        limit = study.limit_value if study else None
        leaves = limit if limit in ladder else ladder[0]
    checks = source.log.readings(reading).used()
    if not len(checks):
        raise UnusableInput(
            f"there is no {reading} in the log", source.log.name, "log the checks at the stages"
        )
    lives = grade_lives(checks.blade, checks.cuts, checks.grade, ladder=ladder, leaves=leaves)
    treatments = tuple(treatment_of(source, life.blade) for life in lives)
    fit = _fitted(lives, treatments, level)
    doubts = [doubt("invented")] if study and study.invented else []
    if fit is None:
        doubts.append(doubt("no_comparison", why=f"no blade has left '{leaves}' yet; cut on"))
    return GradeResult(source.title, reading, str(leaves), lives, treatments, fit, tuple(doubts))


def _fitted(lives, treatments, level):
    """What the lives say together; None while every blade still holds the grade."""
    from edgetest.wear.graded.life_distributions import fit_lives

    known = [(life, group) for life, group in zip(lives, treatments, strict=True) if life.told]
    if all(life.high == inf for life, _ in known):
        return None
    groups = [group for _, group in known]
    return fit_lives(
        [life.low for life, _ in known],
        [life.high for life, _ in known],
        group=groups if all(groups) else None,
        level=level,
    )
