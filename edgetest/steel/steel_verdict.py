"""Is the steel worth reusing: criteria, odds, losses, and the next test that pays."""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import doubts_of, each_once
from edgetest.errors import UnusableInput
from edgetest.estimate import chance
from edgetest.steel.belief import (
    Belief,
    DamageEvidence,
    LifeEvidence,
    cracking_belief,
    damage_belief,
    edge_belief,
    hardness_belief,
    life_belief,
)
from edgetest.steel.case_result import CaseResult
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
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.martensite import carbon_for_hardness
from edgetest.steel.outcome import VERDICTS, CriterionResult, Verdict
from edgetest.steel.quench import QuenchResponse


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
    *,
    life=(),
    hardness: HardnessResult | None = None,
    damage=(),
    case: CaseResult | None = None,
    cracking=None,
    quench: QuenchResponse | None = None,
    piece=None,
    route=None,
    criteria=None,
    losses=None,
    tests=TESTS,
):
    """Weigh all evidence on an unknown steel into one verdict.

    Parameters
    ----------
    life : sequence of LifeEvidence
        Life against the reference blade, one entry a comparison.
    hardness : HardnessResult or None
        Hardness after the temper meant for use.
    damage : sequence of DamageEvidence
        Chips and rolls per 100 chops.
    case : CaseResult or None
        The carburised edge after grinding, where the steel was packed.
    cracking : tuple of int or None
        (cracked, quenched) counts.
    quench : QuenchResponse or None
        Its contradictions hold the verdict back; its doubts become reasons.
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
    life, damage = _entries(life, LifeEvidence), _entries(damage, DamageEvidence)
    piece = _focus(life, damage, hardness, piece)
    lot = piece is None
    evidence = _only(piece, life, hardness, damage)
    beliefs = _beliefs(criteria, evidence, case, cracking, piece, lot=lot)
    priors = _beliefs(criteria, ((), None, ()), None, None, piece, lot=lot)
    table = losses.matrix()
    fit, light = joint(beliefs)
    expected = expected_loss(table, fit, light)
    best = ACTIONS[int(np.argmin(expected))]

    values = [
        value_of_test(t, beliefs, table, "lot" if lot else "piece")
        for t in tests
        if lot or t.code != "another_piece"
    ]
    values.sort(key=lambda t: -t.saves_per_hour)
    contradictory = quench is not None and quench.contradictory
    condemned = best == "do_not_reuse" and _condemned(beliefs, table, contradictory)
    missing = {b.name for b in beliefs if not b.evidence}
    worth = [t for t in values if t.saves_h > t.hours]
    open_question = bool(worth) or (not condemned and (bool(missing) or contradictory))
    verdict = "cannot_tell" if open_question else best
    next_test = _next(values, worth, missing, contradictory, tests) if open_question else None
    if not lot:
        # What a second piece would be worth to a verdict on the lot, judged from this piece.
        lot_beliefs = _beliefs(criteria, evidence, case, cracking, piece, lot=True)
        values += [
            value_of_test(t, lot_beliefs, table, "lot") for t in tests if t.code == "another_piece"
        ]

    results = tuple(_criterion(i, beliefs, priors, table) for i in range(len(beliefs)))
    most = max(results, key=lambda r: r.worth_knowing_h)
    chances = [r.probability_full for r in results]
    return Verdict(
        verdict=verdict,
        scope="lot" if lot else "piece",
        piece=piece,
        route=route,
        probability_fit=fit,
        probability_light_or_better=light,
        fit_bounds=(max(0.0, sum(chances) - len(chances) + 1), min(chances)),
        expected_loss_h=dict(zip(ACTIONS, expected.tolist(), strict=True)),
        criteria=results,
        decides=most.name if most.worth_knowing_h > 1e-9 else None,
        tests=tuple(values),
        next_test=next_test,
        reasons=_reasons(verdict, best, results, expected, quench, next_test, values, lot, piece),
        losses=losses,
        doubts=_doubts(results, lot, quench, hardness),
    )


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


def _entries(items, kind):
    """One item or several, as a tuple."""
    return (items,) if isinstance(items, kind) else tuple(items)


def _focus(life, damage, hardness, piece):
    """The piece the verdict speaks of; None for the lot."""
    kinds = [list(dict.fromkeys(one.piece for one in items)) for items in (life, damage) if items]
    if hardness is not None:
        kinds.append([p.piece for p in hardness.pieces])
    known = list(dict.fromkeys(name for names in kinds for name in names))
    if piece is not None:
        if known and piece not in known:
            mend = f"known are {', '.join(known)}"
            raise UnusableInput(f"piece {piece!r} has no evidence", "piece", mend)
        return piece
    if kinds and all(len(names) > 1 for names in kinds):
        return None
    counts = {name: sum(name in names for names in kinds) for name in known}
    return max(known, key=lambda name: counts[name]) if known else "1"


def _only(piece, life, hardness, damage):
    """The evidence on the piece asked about; all of it where the lot is."""
    if piece is None:
        return life, hardness, damage
    named = hardness is not None and piece in [p.piece for p in hardness.pieces]
    return (
        tuple(one for one in life if one.piece == piece),
        hardness if named else None,
        tuple(one for one in damage if one.piece == piece),
    )


def _next(values, worth, missing, contradictory, tests):
    """The test to do next: what settles a contradiction, else what saves most an hour."""
    sees = {t.code: set(t.sees) for t in tests}
    if contradictory:
        repeat = [t for t in values if "hardness" in sees[t.code]]
        return min(repeat, key=lambda t: t.hours) if repeat else None
    if worth:
        return worth[0]
    useful = [t for t in values if sees[t.code] & missing]
    return useful[0] if useful else None


def _beliefs(criteria, evidence, case, cracking, piece, *, lot):
    """One belief for every criterion in use, from evidence on the piece or on the lot."""
    life, hardness, damage = evidence
    used = []
    if criteria.life_ratio is not None:
        used.append(
            life_belief(life, full=criteria.life_ratio, light=criteria.life_ratio_light, lot=lot)
        )
    if criteria.hardness_hrc is not None:
        used.append(
            hardness_belief(
                hardness,
                full=criteria.hardness_hrc,
                light=criteria.hardness_light_hrc,
                piece=piece,
                lot=lot,
            )
        )
    if criteria.damage_per_100 is not None:
        light = criteria.damage_light_per_100 or 2 * criteria.damage_per_100
        used.append(damage_belief(damage, full=criteria.damage_per_100, light=light, lot=lot))
    if criteria.edge_hrc is not None:
        full_pct, light_pct = map(carbon_for_hardness, (criteria.edge_hrc, criteria.edge_light_hrc))
        used.append(edge_belief(case, full_pct=full_pct, light_pct=light_pct))
    if criteria.cracked_share is not None:
        light = criteria.cracked_light_share or min(2 * criteria.cracked_share, 0.9)
        used.append(cracking_belief(cracking, full=criteria.cracked_share, light=light))
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
        wanted=_wanted(b),
        value=b.estimate(),
        probability_full=full,
        probability_light=light,
        evidence=b.evidence,
        worth_knowing_h=saved_h,
        if_holds=if_holds,
        if_fails=if_fails,
        without=best_action(table, *joint(without)),
    )


def _wanted(b: Belief):
    """The limit in the maker's words."""
    if b.name == "life":
        return f"at least {b.in_units(b.full[0]):.2g} of the reference's life"
    if b.name == "hardness":
        return f"{b.full[0]:g} to {b.full[1]:g} HRC"
    if b.name == "damage":
        return f"at most {b.in_units(b.full[1]):.3g} chips or rolls per 100 chops"
    if b.name == "edge":
        return f"at least {b.full[0]:.2f} % carbon at the softest place of the edge"
    return f"at most {b.in_units(b.full[1]):.0%} of quenches cracked"


_SUBJECT = {
    "life": "Life against the reference blade",
    "hardness": "Hardness after the temper",
    "damage": "Damage in chopping",
    "edge": "Carbon at the softest place of the finished edge",
    "cracking": "Share of quenches that crack",
}


def _reasons(verdict, best, results, expected, quench, next_test, values, lot, piece):
    """The verdict's reasons as sentences, the weightiest first."""
    said = []
    for r in sorted(results, key=lambda r: r.probability_full):
        if not r.evidence:
            said.append(f"{_SUBJECT[r.name]}: no evidence yet; wanted is {r.wanted}.")
            continue
        odds = f"meets '{r.wanted}' with probability {chance(r.probability_full)}"
        said.append(f"{_SUBJECT[r.name]} is {r.value.summary()}: {odds}.")
    losses = ", ".join(
        f"{VERDICTS[a].lower()} {loss:.1f} h" for a, loss in zip(ACTIONS, expected, strict=True)
    )
    said.append(f"Expected loss by action: {losses}.")
    if quench is not None:
        said += [one.text for one in (*quench.contradictions, *quench.doubts)]
        said += [f"{detail[0].upper()}{detail[1:]}." for detail in quench.details]
    if verdict == "cannot_tell":
        said.append(f"With no further test, the least loss would be: {VERDICTS[best].lower()}.")
    if next_test:
        said.append(
            f"Next: {next_test.title}: {next_test.hours:g} h of work, expected to save "
            f"{next_test.saves_h:.1f} h of wrong decisions."
        )
    elif values:
        said.append("No further test would save more hours than it costs.")
    if lot:
        said.append("More than one piece was tested, so this speaks for the lot.")
    else:
        said.append(f"This holds for piece {piece}; for the lot, test another piece.")
    return tuple(said)


def _doubts(results, lot, quench, hardness):
    """What bears on the verdict, each once."""
    codes = ["independent_evidence"] if len(results) > 1 else []
    if not lot:
        codes.append("one_piece")
    names = {r.name: r.evidence for r in results}
    if not names.get("life", True):
        codes.append("reference_missing")
    if not all(names.values()):
        codes.append("no_evidence")
    of_quench = (*quench.contradictions, *quench.doubts) if quench is not None else ()
    of_hardness = hardness.doubts if hardness is not None else ()
    return each_once((*doubts_of(codes), *of_quench, *of_hardness))
