"""Is the steel worth reusing: criteria, odds, losses, and the next test that pays."""

from dataclasses import dataclass, replace

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.steel.belief import (
    cracking_belief,
    damage_belief,
    edge_belief,
    hardness_belief,
    life_belief,
)
from edgetest.steel.decision import (
    ACTIONS,
    TESTS,
    Losses,
    best_action,
    expected_loss,
    joint,
    pair,
    value_of_certainty,
    value_of_test,
)
from edgetest.steel.martensite import carbon_for_hardness
from edgetest.steel.outcome import CriterionResult, Verdict
from edgetest.steel.steel_evidence import SteelEvidence
from edgetest.steel.verdict_reasons import doubts_of_verdict, reasons_of, wanted_words

MOST_CRACKED_SHARE = 0.9  # the light limit never lies above
FURTHER = "another_piece"  # the test that speaks of the lot alone
WORTH_NOTHING_H = 1e-9  # hours below which knowing a criterion changes nothing


@dataclass(frozen=True)
class Criteria:
    """What the steel must keep, for full and for light use; None leaves a criterion out."""

    life_ratio: float | None = 0.8
    life_ratio_light: float = 0.5
    hardness_hrc: tuple[float, float] | None = (57.0, 62.0)
    hardness_light_hrc: tuple[float, float] = (52.0, 64.0)
    damage_per_100: float | None = None
    damage_light_per_100: float | None = None  # twice the full limit where left out
    edge_hrc: float | None = None  # as quenched, at the softest place of the finished edge
    edge_light_hrc: float = 50.0
    cracked_share: float | None = None
    cracked_light_share: float | None = None  # twice the full limit where left out


def steel_verdict(
    evidence: SteelEvidence, *, piece=None, route=None, criteria=None, losses=None, tests=TESTS
):
    """Weigh all evidence on an unknown steel into one verdict, by least expected loss.

    Parameters
    ----------
    evidence : SteelEvidence
    piece : str or None
        The piece asked about. None speaks for the lot where every kind of evidence covers
        more than one piece, and otherwise for the piece that was tested most fully.
    route : str or None
        How the steel was worked ("as it is", "carburised"): a label; evidence on different
        routes is weighed in a verdict each (see `best_route`).
    criteria : Criteria or None
        Defaults where left out.
    losses : Losses or None
        Hours lost by a wrong decision.
    tests : sequence of Test
        Tests that are possible next; empty where no more steel is left.

    Returns
    -------
    Verdict

    Raises
    ------
    UnusableInput
        If no criterion is in use, or all evidence is on other pieces than the one asked about.

    References
    ----------
    .. [1] H. Raiffa and R. Schlaifer, Applied Statistical Decision Theory (1961): expected
       value of sample information (from memory).
    """
    criteria, losses = criteria or Criteria(), losses or Losses()
    piece = evidence.speaks_of(piece)
    lot = piece is None
    evidence = evidence.of_piece(piece)
    beliefs = _beliefs(criteria, evidence, piece, lot=lot)
    priors = _beliefs(criteria, SteelEvidence(), piece, lot=lot)
    table = losses.matrix()
    fit, light = joint(beliefs)
    expected = expected_loss(table, fit, light)
    best = ACTIONS[int(np.argmin(expected))]
    scope = "lot" if lot else "piece"
    values = _values(tests, beliefs, table, scope)
    open_question = _is_open(best, beliefs, values, table, evidence.contradictory)
    next_test = _next(values, beliefs, tests, evidence.contradictory) if open_question else None
    if not lot:
        # What a second piece would be worth to a verdict on the lot, judged from this piece.
        of_lot = _beliefs(criteria, evidence, piece, lot=True)
        values += _values([t for t in tests if t.code == FURTHER], of_lot, table, "lot")
    results = tuple(_criterion(i, beliefs, priors, table) for i in range(len(beliefs)))
    most = max(results, key=lambda r: r.worth_knowing_h)
    chances = [r.probability_full for r in results]
    found = Verdict(
        verdict="cannot_tell" if open_question else best,
        scope=scope,
        piece=piece,
        route=route,
        probability_fit=fit,
        probability_light_or_better=light,
        fit_bounds=(max(0.0, sum(chances) - len(chances) + 1), min(chances)),
        expected_loss_h=dict(zip(ACTIONS, expected.tolist(), strict=True)),
        criteria=results,
        decides=most.name if most.worth_knowing_h > WORTH_NOTHING_H else None,
        tests=tuple(values),
        next_test=next_test,
        losses=losses,
    )
    reasons, doubts = reasons_of(found, evidence), doubts_of_verdict(found, evidence)
    return replace(found, reasons=reasons, doubts=doubts)


def best_route(verdicts):
    """The verdict of the route with the least expected loss: how to work this steel, if at all.

    Parameters
    ----------
    verdicts : sequence of Verdict
        One a route, of the same piece or lot and with the same losses.

    Returns
    -------
    Verdict

    Raises
    ------
    UnusableInput
        If there is none, or they were weighed with different losses.
    """
    verdicts = tuple(verdicts)
    if not verdicts:
        raise UnusableInput("no verdict given", "verdicts", "weigh at least one route")
    if any(v.losses != verdicts[0].losses for v in verdicts):
        raise UnusableInput("losses differ", "verdicts", "weigh every route with the same losses")
    return min(
        verdicts, key=lambda v: min(v.expected_loss_h["reuse"], v.expected_loss_h["reuse_light"])
    )


def _values(tests, beliefs, table, scope):
    """What each test would save a verdict on piece or lot, the best an hour first."""
    own = [test for test in tests if scope == "lot" or test.code != FURTHER]
    values = [value_of_test(test, beliefs, table, scope) for test in own]
    return sorted(values, key=lambda value: -value.saves_per_hour)


def _is_open(best, beliefs, values, table, contradictory):
    """Whether no verdict is given yet: a test pays, or evidence lacks or contradicts itself."""
    if any(test.saves_h > test.hours for test in values):
        return True
    if best == "do_not_reuse" and _condemned(beliefs, table, contradictory):
        return False
    return contradictory or not all(b.evidence for b in beliefs)


def _next(values, beliefs, tests, contradictory):
    """The test to do next: what settles a contradiction, else what saves most an hour."""
    sees = {test.code: set(test.sees) for test in tests}
    if contradictory:
        repeat = [t for t in values if "hardness" in sees[t.code]]
        return min(repeat, key=lambda t: t.hours, default=None)
    missing = {b.name for b in beliefs if not b.evidence}
    worth = [t for t in values if t.saves_h > t.hours]
    useful = [t for t in values if sees[t.code] & missing]
    return next(iter((*worth, *useful)), None)


def _beliefs(criteria, evidence, piece, *, lot):
    """One belief for every criterion in use, from evidence on the piece or on the lot."""
    used = []
    if criteria.life_ratio is not None:
        limits = {"full": criteria.life_ratio, "light": criteria.life_ratio_light}
        used.append(life_belief(evidence.life, **limits, lot=lot))
    if criteria.hardness_hrc is not None:
        limits = {"full": criteria.hardness_hrc, "light": criteria.hardness_light_hrc}
        used.append(hardness_belief(evidence.hardness, **limits, piece=piece, lot=lot))
    if criteria.damage_per_100 is not None:
        light = criteria.damage_light_per_100 or 2 * criteria.damage_per_100
        limits = {"full": criteria.damage_per_100, "light": light}
        used.append(damage_belief(evidence.damage, **limits, lot=lot))
    if criteria.edge_hrc is not None:
        full_pct, light_pct = map(carbon_for_hardness, (criteria.edge_hrc, criteria.edge_light_hrc))
        used.append(edge_belief(evidence.case, full_pct=full_pct, light_pct=light_pct))
    if criteria.cracked_share is not None:
        light = criteria.cracked_light_share or min(2 * criteria.cracked_share, MOST_CRACKED_SHARE)
        limits = {"full": criteria.cracked_share, "light": light}
        used.append(cracking_belief(evidence.cracking, **limits))
    if not used:
        raise UnusableInput("no criterion in use", "criteria", "state at least one")
    return tuple(used)


def _condemned(beliefs, table, contradictory):
    """Whether discarding is best even if all that lacks sound evidence turned out well."""
    seen = [b for b in beliefs if b.evidence and not (contradictory and b.name == "hardness")]
    if not seen:
        return False
    return int(np.argmin(expected_loss(table, *joint(seen)))) == 2


def _criterion(i, beliefs, priors, table):
    """One criterion's odds, and what certainty or the lack of its evidence would change."""
    b = beliefs[i]
    full, light = (float(p) for p in pair(b))
    saved_h, if_holds, if_fails = value_of_certainty(beliefs, i, table)
    without = (*beliefs[:i], priors[i], *beliefs[i + 1 :])
    return CriterionResult(
        name=b.name,
        wanted=wanted_words(b),
        value=b.estimate(),
        probability_full=full,
        probability_light=light,
        evidence=b.evidence,
        worth_knowing_h=saved_h,
        if_holds=if_holds,
        if_fails=if_fails,
        without=best_action(table, *joint(without)),
    )
