"""Grades and pass/fail checks: when each blade left a grade, and whose blades left it later."""

from dataclasses import dataclass

from edgetest.errors import UnusableInput
from edgetest.store.logs import PASS_FAIL
from edgetest.study.sources import sound
from edgetest.study.wear.study_readings import treatment_of
from edgetest.study.wear.wear_result import warn
from edgetest.wear.graded.grade_lives import GradeLife, grade_lives
from edgetest.wear.graded.life_distributions import LifeFit, fit_lives


@dataclass(frozen=True)
class GradeResult:
    """Lives to leaving a grade, each known to an interval, and what they say together."""

    title: str
    reading: str
    leaves: str
    lives: tuple[GradeLife, ...]
    treatments: tuple[str, ...]
    fit: LifeFit | None
    warnings: tuple[dict, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "title": self.title,
            "reading": self.reading,
            "grade": self.leaves,
            "blades": [life.to_dict() for life in self.lives],
            "lives": self.fit.to_dict() if self.fit else None,
            "warnings": list(self.warnings),
        }

    def summary(self):
        """The lives and what they say, a line each."""
        lines = [life.summary() for life in self.lives]
        lines.append(self.fit.summary() if self.fit else self.warnings[-1]["text"])
        return "\n".join(lines)


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
        Where the log has faults or holds no such reading.
    """
    sound(source)
    ladder = ladder_of(source, reading)
    if leaves is None:
        limit = source.study.limit_value if source.study else None
        leaves = limit if limit in ladder else ladder[0]
    checks = source.log.readings(reading).used()
    if not len(checks):
        raise UnusableInput(
            f"there is no {reading} in the log", source.log.name, "log the checks at the stages"
        )
    lives = grade_lives(checks.blade, checks.cuts, checks.grade, ladder=ladder, leaves=leaves)
    treatments = tuple(treatment_of(source, life.blade) for life in lives)
    warnings = [warn("invented")] if source.study and source.study.invented else []
    told = [(life, group) for life, group in zip(lives, treatments, strict=True) if life.told]
    fit = None
    if any(life.high < float("inf") for life, _ in told):
        fit = fit_lives(
            [life.low for life, _ in told],
            [life.high for life, _ in told],
            group=[group for _, group in told] if all(g for _, g in told) else None,
            level=level,
        )
    else:
        warnings.append(warn("no_comparison", why=f"no blade has left '{leaves}' yet; cut on"))
    return GradeResult(source.title, reading, str(leaves), lives, treatments, fit, tuple(warnings))
