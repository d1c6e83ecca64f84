"""Lives and damage of an unknown steel's blades against the reference blade."""

from dataclasses import dataclass
from math import isfinite, log

from scipy.special import ndtri, stdtrit

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.belief import DamageEvidence, LifeEvidence
from edgetest.study.steel.blade_heats import reference_blades
from edgetest.study.steel.evidence_numbers import Origin
from edgetest.study.wear.analysis import analyse, reading_of
from edgetest.study.wear.grading import gives_lives
from edgetest.study.wear.wear_result import StudyResult
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.compare.fitted_lives import fitted_lives

REFERENCE = "reference"


@dataclass(frozen=True)
class LifeRatio:
    """One piece's blades, on one route, against the reference; and what of it is weighed."""

    where: Origin
    comparison: Comparison
    evidence: LifeEvidence | None
    blades: tuple[str, ...]
    references: tuple[str, ...]
    doubt: Doubt | None = None  # why the evidence is one-sided, or why there is none

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "piece": self.where.piece,
            "route": self.where.route,
            "blades": list(self.blades),
            "reference_blades": list(self.references),
            "ratio": self.comparison.ratio.to_dict(),
            "scope": self.comparison.scope,
            "weighed": self.evidence is not None,
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
    """The life of each piece and route as a multiple of the reference's.

    Parameters
    ----------
    result : StudyResult
        Wear curves of the study's blades.
    where : dict of str to Origin
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
    """The ratio as evidence; a bound counts as the least it can be, an upper bound not at all."""
    ratio = comparison.ratio
    if not ratio.low > 0:
        return None, "reference_stopped"
    shared = {
        "piece": place.piece,
        "blades": len(blades["steel"]),
        "reference_blades": len(blades[REFERENCE]),
    }
    if not isfinite(ratio.high):
        return LifeEvidence(log(ratio.low), 0.0, **shared), "life_at_least"
    tail = 0.5 + ratio.level / 2
    df = ratio.df if ratio.df is not None else float("inf")
    reach = float(stdtrit(df, tail)) if isfinite(df) else float(ndtri(tail))
    se = (log(ratio.high) - log(ratio.low)) / (2 * reach)
    between = comparison.scope == "heat_treatments"
    return LifeEvidence(log(ratio.estimate), se, df, **shared, between_blades_in_se=between), None


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


def damage_of(folder, where) -> tuple[tuple[DamageEvidence, str], ...]:
    """New chips and rolls per 100 chops of each blade of the unknown steel, with its route."""
    from edgetest.stats.rates import poisson_rate
    from edgetest.study.chop.chop_analysis import analyse_chops
    from edgetest.study.sources import open_chops

    grown = [one for one in analyse_chops(open_chops(folder)).growth if one.chops]
    new = {one.blade: 0 for one in grown if one.blade in where}
    for one in grown:
        if one.blade in new:
            new[one.blade] += one.new
    chops = {one.blade: one.chops for one in grown}
    return tuple(
        (_damage(poisson_rate(count, chops[name], per=100), where[name].piece), where[name].route)
        for name, count in new.items()
    )


def _damage(rate, piece):
    """A rate as evidence; the bound that comes from no damage at all is one-sided."""
    level = rate.level if rate.value else 2 * rate.level - 1
    return DamageEvidence(rate.value, rate.low, rate.high, level, piece)
