"""How long did the blades of an unknown steel last beside the blade of known steel?"""

from dataclasses import dataclass
from math import exp, isfinite, log

from scipy.special import ndtri, stdtrit

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.steel_seen import TrialSeen
from edgetest.study.steel.blade_heats import Home, reference_blades
from edgetest.study.wear.analysis import analyse, reading_of
from edgetest.study.wear.grading import gives_lives
from edgetest.study.wear.wear_result import StudyResult
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.fitted_lives import fitted_lives

REFERENCE = "reference"
LEAST_TOLD = 1.0  # a life of at least so many of the reference's tells something
SHORT, LONG = 0.8, 1.25  # of the known blade's life: worse below, better above; common practice


@dataclass(frozen=True)
class LifeRatio:
    """Blades of one piece and heat treatment against the reference; and what of it is weighed."""

    where: Home
    comparison: Comparison
    trial: TrialSeen | None
    blades: tuple[str, ...]
    references: tuple[str, ...]
    doubt: Doubt | None = None  # why the evidence is one-sided, or why there is none

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "piece": self.where.piece,
            "carburised": self.where.carburised,
            "blades": list(self.blades),
            "reference_blades": list(self.references),
            "ratio": self.comparison.ratio.to_dict(),
            "scope": self.comparison.scope,
            "weighed": self.trial is not None,
            "code": self.code,
        }

    @property
    def code(self):
        """Code of the doubt, None where there is none."""
        return self.doubt.code if self.doubt else None


def analysed_lives(source, *, workers=2, progress=None) -> tuple[StudyResult | None, str | None]:
    """The study's wear curves, or the code that says why there are none yet."""
    rows = [row for row in source.log.rows if not row.waiting]
    if not rows:
        return None, "no_life_yet"
    if gives_lives(source, reading_of(source)):
        return None, "lives_by_grade"
    return analyse(source, compare=False, workers=workers, progress=progress), None


def life_ratios(result: StudyResult, where, *, level=0.95) -> tuple[LifeRatio, ...]:
    """The life of each piece and heat treatment as a multiple of the reference's.

    Parameters
    ----------
    result : StudyResult
        Wear curves of the study's blades.
    where : dict of str to Home
        Of the blades of the unknown steel.

    Returns
    -------
    tuple of LifeRatio
        Empty where the study names no reference, or the reference has no life.
    """
    study = result.study
    if study is None:
        return ()
    known = reference_blades(study)
    facts = {each.run: each for each in result.readings}
    runs = [(fit, facts[fit.blade]) for fit in result.fit.blades if fit.life is not None]
    if not any(fact.blade in known for _, fact in runs):
        return ()
    control = study.control if study.control not in (*known, *where) else None
    groups = dict.fromkeys(where[fact.blade] for _, fact in runs if fact.blade in where)
    return tuple(_ratio(runs, place, where, known, control, level) for place in groups)


def _ratio(runs, place, where, known, control, level):
    """One group of blades against the reference."""
    rows = [
        (fit.life, fact, REFERENCE if fact.blade in known else "steel")
        for fit, fact in runs
        if fact.blade in known or fact.blade == control or where.get(fact.blade) == place
    ]
    lives = fitted_lives(
        [life for life, *_ in rows],
        blade=[fact.blade for _, fact, _ in rows],
        treatment=[name for *_, name in rows],
        block=[fact.block for _, fact, _ in rows],
    )
    control = control if control in lives.blade else None
    options = ComparisonOptions(control=control, reference=REFERENCE, level=level)
    comparison = compare_lives(lives, options)
    blades = {group.treatment: group.blades for group in comparison.groups}
    weighed, code = _weighed(comparison, place, blades)
    doubted = blades[REFERENCE if code == "reference_stopped" else "steel"]
    found = doubt(code, where=Where(blade=", ".join(doubted))) if code else None
    return LifeRatio(place, comparison, weighed, blades["steel"], blades[REFERENCE], found)


def _weighed(comparison, place, blades):
    """The ratio as a trial; a bound counts as the least it can be, an upper bound not at all.

    Where no blade has a sister, the interval is the readings' own: what one blade differs from
    the next stands in the tables.

    A bound below the reference's own life tells nothing of the steel: the blade was stopped.
    """
    ratio = comparison.ratio
    if not ratio.low > 0:
        return None, "reference_stopped"
    heat = (blades["steel"][0], 1)
    if not isfinite(ratio.high):
        return _trial(place, heat, ratio.low, None) if ratio.low >= LEAST_TOLD else None, (
            "life_at_least"
        )
    tail = 0.5 + ratio.level / 2
    df = ratio.df if ratio.df is not None else float("inf")
    reach = float(stdtrit(df, tail)) if isfinite(df) else float(ndtri(tail))
    se = (log(ratio.high) - log(ratio.low)) / (2 * reach)
    return _trial(place, heat, ratio.estimate, se), None


def _trial(place, heat, ratio, log_u):
    """A life ratio as a rope trial; its result is said where the interval leaves no doubt."""
    most, least = (ratio * exp(sign * 2 * (log_u or 0.0)) for sign in (1, -1))
    result = "worse" if most < SHORT else "better" if least > LONG else None
    if result is None and least >= SHORT:
        result = "same"
    return TrialSeen(
        place.piece, "rope", result, life_ratio=ratio, life_ratio_log_u=log_u, heat=heat,
        carburised=place.carburised,
    )  # fmt: skip


def life_against_reference(ratio: LifeRatio):
    """The comparison as a maker reads it out."""
    r = ratio.comparison.ratio
    blades, known = " and ".join(ratio.blades), " and ".join(ratio.references)
    if ratio.code == "life_at_least":
        return f"{blades} lasted at least {r.low:.2f} times as long as {known}."
    if ratio.code == "reference_stopped":
        return f"{known} was stopped too early to say how {blades} compares."
    scatter = "" if ratio.comparison.scope == "heat_treatments" else ", reading uncertainty alone"
    return f"{blades} lasted {r} times as long as {known}{scatter}."
