"""Does the answer hang on one cause? It is made again without it, and both answers are told.

Gravity "decides" is earned here: a doubt has it where the verdict is another one without its
cause, by the other law, or by the other rule. What cannot change the verdict is not tried.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf, log

import numpy as np

from edgetest.doubts import Doubt, doubt
from edgetest.study.wear.alternative_answers import Alternative, Finding, finding_of
from edgetest.study.wear.without_a_blade import without_blade
from edgetest.wear.compare.comparison_result import Comparison
from edgetest.wear.curve.curve_result import StudyFit
from edgetest.wear.curve.law_choice import LawScore
from edgetest.wear.curve.stage_cells import WearReadings
from edgetest.wear.curve.study_curves import FitOptions, fit_study

MOST_READINGS = 4  # left out one by one; more are left out together alone: each is a fit anew
MANY_BLADES = 60  # of so many no one reading is left out by itself
UNLIKE = 0.1  # chance of scatters so unlike where they are alike
CLOSE = 2.0  # AICc: laws nearer to one another are no worse a choice, see `rank_laws`
NEAR = 1.1  # lives to a tenth beyond the last stage count as seen: stages lie further apart


@dataclass(frozen=True)
class ReadFrom:
    """What the lives were read from: readings, fit, the laws ranked; and how to compare anew."""

    columns: WearReadings
    how: FitOptions
    fit: StudyFit
    laws: tuple[LawScore, ...]
    compare: Callable[[StudyFit], Comparison | None]

    def finding(self, given, *, columns=None, how=None):
        """The finding of other readings, or by another way to fit; None where there is none."""
        fit = fit_study(self.columns if columns is None else columns, how or self.how)
        comparison = self.compare(fit)
        found = comparison and finding_of(comparison, given.first, given.second)
        return found, fit


@dataclass(frozen=True)
class WithAndWithout:
    """The other answers, and the doubts that they belong to, their gravity earned."""

    alternatives: tuple[Alternative, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def with_and_without(answered, curves=None, titles=None):
    """Other answers than the one given, where one cause stands between them.

    Parameters
    ----------
    answered : Answered
        The comparison, and the lives that it was made from.
    curves : ReadFrom, optional
        Where the lives were read from wear curves.
    titles : dict of str to str, optional
        Title of each heat treatment by its id, for the sentences.

    Returns
    -------
    WithAndWithout
    """
    given = finding_of(answered.comparison)
    if answered.comparison.scope == "blades":
        return WithAndWithout()
    tried, told = without_blade(answered, given)
    tried += _other_rule(answered.comparison, given)
    if curves is not None:
        for attempt in (_without_readings, _other_law, _by_readings_alone):
            more, doubts = attempt(answered, curves, given)
            tried += more
            told += doubts
    tried = [one.titled(titles or {}) for one in tried]
    return WithAndWithout(tuple(tried), (*(one.deciding() for one in tried), *told))


def _changed(given, found):
    """Whether there is another finding, and it is not the one given."""
    return found is not None and found.verdict != given.verdict


def _without_readings(answered, curves, given):
    """Each reading that stands out left out, then all of them; else the robust fit."""
    flagged = [one for fit in curves.fit.blades for one in _outlying(fit)]
    if not flagged:
        return [], []
    found, told = [], []
    one_by_one = len(flagged) <= MOST_READINGS and len(curves.fit.blades) <= MANY_BLADES
    for one in flagged if one_by_one else ():
        other, fit = curves.finding(given, columns=_leaving_out(curves.columns, [one]))
        one = _expected_anew(one, fit)
        if _changed(given, other):
            found.append(_reading_alternative(one, given, other))
        else:
            told.append(one)
    if found or (len(flagged) == 1 and one_by_one):
        return found, told
    other, fit = curves.finding(given, columns=_leaving_out(curves.columns, flagged))
    about = doubt("readings_stand_out", count=len(flagged))
    if _changed(given, other):
        what = f"{len(flagged)} readings that stand out"
        found.append(Alternative(what, given, other, about, "With them", "Without them"))
    elif not one_by_one:
        told += [about, *(_expected_anew(one, fit) for one in flagged)]
    return found, told


def _outlying(fit):
    """The doubts about a blade's readings that stand out, in their order."""
    found = (one for one in fit.doubts if one.code == "outlying_reading")
    return [one for one in found if one.where.row is not None]


def _leaving_out(columns, doubts):
    """The readings without those that the doubts are about."""
    rows = [one.where.row for one in doubts]
    return columns.take(np.flatnonzero(~np.isin(columns.row, rows)))


def _expected_anew(one, fit):
    """The doubt with what is expected once the reading itself has no say in it."""
    where = one.where
    curve = next((each for each in fit.blades if each.blade == where.blade), None)
    if curve is None or not len(curve.psi):
        return one
    expected = float(curve.predict(where.stage).value[0])
    words = {"met": f"{where.value:.4g}", "cuts": f"{where.stage:g}", "expected": f"{expected:.3g}"}
    return doubt(one.code, where=replace(where, expected=expected), **words)


def _reading_alternative(one, given, other):
    """With and without one reading."""
    where = one.where
    reads = f"{where.value:.4g} at {where.stage:g} cuts, about {where.expected:.3g} expected"
    row = "this reading" if where.row is None else f"row {where.row}"
    return Alternative("one reading", given, other, one, f"With {row} ({reads})")


def _other_law(_, curves, given):
    """The best other law of the direction, where the law misfits or another does as well."""
    used = next((score for score in curves.laws if _form(score) == curves.how.law), None)
    others = [score for score in curves.laws if _form(score) != curves.how.law]
    misfits = next((one for one in curves.fit.doubts if one.code == "law_misfits"), None)
    if not others or used is None:
        return [], []
    if misfits is None and others[0].aicc - used.aicc > CLOSE:
        return [], []
    name = _form(others[0])
    other, _ = curves.finding(given, how=replace(curves.how, law=name, power=None))
    if not _changed(given, other):
        return [], []
    ways = (f"By the law “{law.replace('_', ' ')}”" for law in (curves.how.law, name))
    about = misfits or doubt("law_decides")
    return [Alternative("the law of wear", given, other, about, *ways)], []


def _form(score):
    """The name of a ranked law without its power."""
    return score.law.partition(",")[0]


def _by_readings_alone(answered, curves, given):
    """Lives beyond the last stage as least lives: is it the readings that speak, or the curve?"""
    lives = [fit.life for fit in curves.fit.blades if fit.life is not None]
    count = sum(life.extrapolated for life in lives)
    if not count:
        return [], []
    about = doubt("lives_beyond_readings", count=count, of=len(lives))
    beyond = [life.extrapolated and life.cuts > NEAR * life.last_stage for life in lives]
    if not any(beyond):
        return [], [about]
    last = [log(life.last_stage) if far else 0.0 for life, far in zip(lives, beyond, strict=True)]
    bounded = replace(
        answered.lives,
        log_low=np.where(beyond, last, answered.lives.log_low),
        log_high=np.where(beyond, inf, answered.lives.log_high),
    )
    other = finding_of(answered.again(bounded), given.first, given.second)
    if not _changed(given, other):
        return [], [about]
    ways = "With the curves drawn on", "By the readings alone"
    return [Alternative("the curves beyond the readings", given, other, about, *ways)], []


def _other_rule(comparison, given):
    """The other rule for the scatter, where its interval leads to another verdict."""
    other = comparison.other_interval
    codes = ("intervals_disagree", "measurement_floor")
    why = [one for one in comparison.doubts if one.code in codes]
    if other is None or not why:
        return []
    if why[0].code == "intervals_disagree" and not _scatters_differ(comparison):
        return []
    edge = 1 + comparison.practical.margin
    verdict = "longer" if other.low > 1 else "shorter" if other.high < 1 else "cannot_tell"
    if 1 / edge < other.low and other.high < edge:
        verdict = "no_relevant_difference"
    reaches = other.low > edge or other.high < 1 / edge
    found = Finding(given.first, given.second, other, verdict, reaches)
    if not _changed(given, found):
        return []
    ways = f"By {given.ratio.method}", f"By {other.method}"
    return [Alternative("the rule for the scatter", given, found, why[0], *ways)]


def _scatters_differ(comparison):
    """Whether the two scatters differ by more than chance (variance ratio, two-sided).

    Where they do not, the rule chosen beforehand covers what it says, and the other one is
    shown beside it: with three blades a side it would unsettle 18 % of true answers.
    """
    from scipy.special import fdtrc

    pair = (comparison.first, comparison.second)
    groups = [group for group in comparison.groups if group.treatment in pair]
    if any(group.sd_log_life is None for group in groups):
        return False
    small, large = sorted(groups, key=lambda group: group.sd_log_life)
    if small.sd_log_life == 0:
        return large.sd_log_life > 0
    ratio = (large.sd_log_life / small.sd_log_life) ** 2
    return 2 * fdtrc(large.replicates - 1, small.replicates - 1, ratio) < UNLIKE
