"""Does the answer hang on one cause? It is made again without it, and both answers are told.

Gravity "decides" is earned here: a doubt has it where the verdict is another one without its
cause, by the other law, or by the other rule. What cannot change the verdict is not tried.

Taken away are: a reading that lies further off its curve than chance explains, then all such
readings (more than four, or those of more than 60 blades, only together); a blade whose life lies
further from its like than chance explains, where three of its heat treatment remain; a slip by
which two blades' names look swapped; the law,
where readings lie about their curves in runs or another law fits about as well; the rule for the
scatter, where the heat treatments scatter unlike or the blades agree better than their readings
can. Not each blade in turn: somebody's best blade always carries a part of the answer.
"""

from dataclasses import dataclass, replace
from functools import partial
from math import inf, log

import numpy as np

from edgetest.doubts import Doubt, doubt
from edgetest.study.wear.alternative_answers import (
    Alternative,
    Finding,
    changed,
    finding_at_cuts,
    finding_of,
)
from edgetest.study.wear.expected_without import MANY_BLADES
from edgetest.study.wear.names_put_right import names_put_right
from edgetest.study.wear.without_a_blade import without_blade
from edgetest.study.wear.without_readings import without_keen_pictures, without_readings
from edgetest.study.words import listed

UNLIKE = 0.1  # chance of scatters so unlike where they are alike
CLOSE = 2.0  # AICc: laws nearer to one another are no worse a choice, see `rank_laws`
MOST_NAMED = 4  # lives that are named; of more the table tells
NEAR = 1.1  # lives to a tenth beyond the last stage count as seen: stages lie further apart


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
    tried, told = [], []
    if curves is not None:
        tried, told = without_readings(curves, given)
    kept = told or any(not one.decides for one in tried)  # readings that stand out, and stay
    attempts = [without_blade] if kept else [without_blade, _other_rule]
    attempts += [partial(way, curves) for way in (_other_law, _by_readings_alone) if curves]
    for attempt in attempts:
        more, doubts = attempt(answered, given)
        tried += more
        told += doubts
    for way in (names_put_right, without_keen_pictures) if curves is not None else ():
        more, doubts = way(curves, given)
        tried, told = [*more, *tried], [*doubts, *told]
    tried = [one.titled(titles or {}) for one in tried]
    return WithAndWithout(tuple(tried), (*(one.told() for one in tried), *told))


def hangs_on_readings(at_cuts, read_from, titles):
    """Other answers than the one given at equal cuts, where one reading stands between them.

    Parameters
    ----------
    at_cuts : AtCuts
    read_from : ReadFrom
    titles : dict of str to str

    Returns
    -------
    WithAndWithout
    """
    if at_cuts.comparison.scope == "blades":
        return WithAndWithout()
    given = finding_at_cuts(at_cuts)
    tried, told = without_readings(read_from, given)
    for way in (names_put_right, without_keen_pictures):
        more, doubts = way(read_from, given)
        tried, told = [*more, *tried], [*doubts, *told]
    tried = [one.titled(titles) for one in tried]
    return WithAndWithout(tuple(tried), (*(one.told() for one in tried), *told))


def _other_law(curves, _, given):
    """The best other law of the direction, where the law misfits or another does as well."""
    used = next((score for score in curves.laws if score.form == curves.how.law), None)
    others = [score for score in curves.laws if score.form != curves.how.law]
    misfits = next((one for one in curves.fit.doubts if one.code == "law_misfits"), None)
    if not others or used is None:
        return [], []
    if misfits is None and others[0].aicc - used.aicc > CLOSE:
        return [], []
    if len(curves.fit.blades) > MANY_BLADES:
        return [], [doubt("not_tried")]
    name = others[0].form
    other = curves.finding(given, how=replace(curves.how, law=name, power=None))
    if not changed(given, other):
        return [], []
    ways = [f"By the law “{law.replace('_', ' ')}”" for law in (curves.how.law, name)]
    about = misfits or doubt("law_decides")
    return [Alternative("the law of wear", given, other, about, ways[0], ways[1])], []


def _by_readings_alone(curves, answered, given):
    """Lives beyond the last stage as least lives: is it the readings that speak, or the curve?

    It does not decide: a life that counts as known lies within reach of its readings, where
    its interval holds what it says whatever the shape (the guide on wear curves).
    """
    named = [(fit.blade, fit.life) for fit in curves.fit.blades if fit.life is not None]
    lives = [life for _, life in named]
    carried = [life.extrapolated and not life.beyond_reach for life in lives]
    if not any(carried):
        return [], []
    about = _beyond(named, carried, len(set(answered.lives.blade)))
    far = [life.cuts > NEAR * life.last_stage for life in lives]
    beyond = [one and other for one, other in zip(carried, far, strict=True)]
    if not any(beyond):
        return [], [about]
    last = [log(life.last_stage) if far else 0.0 for life, far in zip(lives, beyond, strict=True)]
    bounded = replace(
        answered.lives,
        log_low=np.where(beyond, last, answered.lives.log_low),
        log_high=np.where(beyond, inf, answered.lives.log_high),
    )
    other = finding_of(answered.again(bounded), given.first, given.second)
    if not changed(given, other):
        return [], [about]
    what = "the curves beyond the readings"
    ways = {"with_it": "With the curves drawn on", "without": "By the readings alone"}
    return [Alternative(what, given, other, about, **ways, decides=False)], []


def _beyond(named, carried, blades):
    """The doubt that tells of lives beyond the last stage."""
    those = [name for (name, _), one in zip(named, carried, strict=True) if one]
    return doubt(
        "lives_beyond_readings", count=len(those), of=len(named),
        lives=f"lives of {blades} blades" if len(named) > blades else "lives",
        lie="lie" if len(those) > 1 else "lies",
        names=f" ({listed(those)})" if len(those) <= MOST_NAMED else "",
    )  # fmt: skip


def _other_rule(answered, given):
    """The other rule for the scatter, where its interval leads to another verdict.

    Not asked where a reading stands out: the scatter is then that reading's.
    """
    comparison = answered.comparison
    other = comparison.other_interval
    why = [one for one in comparison.doubts if one.code == "intervals_disagree"]
    if other is None or not why or not _scatters_differ(comparison):
        return [], []
    edge = 1 + comparison.practical.margin
    verdict = "longer" if other.low > 1 else "shorter" if other.high < 1 else "cannot_tell"
    if 1 / edge < other.low and other.high < edge:
        verdict = "no_relevant_difference"
    reaches = other.low > edge or other.high < 1 / edge
    found = Finding(given.first, given.second, other, verdict, reaches)
    if not changed(given, found):
        return [], []
    ways = f"By {given.ratio.method}", f"By {other.method}"
    return [Alternative("the rule for the scatter", given, found, why[0], *ways)], []


def _scatters_differ(comparison):
    """Whether the two scatters differ by more than chance (variance ratio, two-sided).

    Where they do not, the rule chosen beforehand covers what it says, and the other one is
    shown beside it: with three blades a side it would unsettle 18 % of true answers.
    """
    from scipy.special import fdtrc

    pair = (comparison.first, comparison.second)
    groups = [group for group in comparison.groups if group.treatment in pair]
    if any(group.sd_taken is None for group in groups):
        return False
    small, large = sorted(groups, key=lambda group: group.sd_taken)
    if small.sd_taken == 0:
        return large.sd_taken > 0
    ratio = (large.sd_taken / small.sd_taken) ** 2
    return 2 * fdtrc(large.replicates - 1, small.replicates - 1, ratio) < UNLIKE
