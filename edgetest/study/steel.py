"""Is the salvaged steel worth reusing: a study's evidence in, verdict, case and advice out."""

from dataclasses import replace

from edgetest.errors import UnusableInput
from edgetest.records import load_study
from edgetest.steel.case import CaseResult
from edgetest.steel.decision import TESTS, Losses
from edgetest.steel.sequence import Observations, next_step
from edgetest.steel.verdict import Criteria, best_route, steel_verdict
from edgetest.study.evidence import (
    AS_IT_IS,
    CARBURISED,
    ROUTES,
    evidence_of,
    wishes_of,
)
from edgetest.study.sources import open_source
from edgetest.study.steel_evidence import (
    grain_of,
    last_medium,
    magnetic_of,
    places,
    quench_fits,
    reference_blades,
    response_of,
    sparks_of,
    stock_of,
    survival,
    tempered_of,
    unplaced,
)
from edgetest.study.steel_lives import analysed_lives, damage_of, life_ratios
from edgetest.study.steel_pack import cases_of, core_of, edge_hours, packed_piece, target_of
from edgetest.study.steel_result import RouteResult, SteelResult, doubt
from edgetest.workspace import log_path

# What the sequence's next step leaves open to do; nothing is asked before it is needed.
EARLY = {
    "enough": (),
    "magnet_and_spark": (),
    "coupon": ("quench_and_break", "lab_analysis"),
    "quench_ladder": ("quench_and_break", "lab_analysis"),
    "temper_ladder": ("quench_and_break", "lab_analysis", "hardness_ladder"),
}


def judge_steel(folder, *, piece=None, workers=2, progress=None):
    """Weigh all of a study's evidence on an unknown steel.

    Parameters
    ----------
    folder : path-like
        The study's folder.
    piece : str, optional
        The piece asked about; default: the study's wish, else the lot where every kind of
        evidence covers more than one piece, else the piece that was tested most fully.
    workers, progress
        For photographs; see `edgetest.study.measuring`.

    Returns
    -------
    SteelResult

    Raises
    ------
    UnusableInput
        For a fault in study, log, evidence or wishes, or a piece that nobody knows.
    """
    study = load_study(folder)
    evidence, wishes = evidence_of(study), wishes_of(study)
    piece = _known(piece or wishes.piece, evidence)
    where = places(study, evidence)
    warnings = [doubt("invented")] if study.invented else []
    homeless = unplaced(study, where)
    if homeless:
        warnings.append(doubt("blade_without_piece", blades=", ".join(homeless)))
    analysis, ratios = _lives(study, where, warnings, workers, progress)
    chopped = wishes.damage_per_100 is not None and log_path(study.folder, "chops") is not None
    damage = damage_of(study.folder, where) if chopped else ()

    wanted = wishes.hardness_hrc or Criteria().hardness_hrc
    fits = {route: quench_fits(evidence, where, route) for route in ROUTES}
    tempered = {r: _tempered(study, evidence, where, r, wanted, warnings) for r in ROUTES}
    quench = {r: response_of(evidence, fits[r], tempered[r], r) for r in ROUTES}
    hardness = dict(tempered)
    own = quench[AS_IT_IS]
    if hardness[AS_IT_IS] is None and own is not None and own.hardens_in == "none":
        hardness[AS_IT_IS] = max(fits[AS_IT_IS].values(), key=lambda fit: fit.moments()[0])
        warnings.append(doubt("untempered_used"))

    used = _used_routes(evidence, hardness, ratios, damage, where)
    core, core_u, whence = core_of(evidence, fits[AS_IT_IS], packed_piece(where, piece))
    piece = piece or _focus(evidence, used, hardness, ratios, damage)
    cases: tuple[tuple[str, CaseResult], ...] = ()
    hours = None
    if evidence.pack is not None:
        words = f"{core:.2f} ± {core_u:.2f} %" if core is not None else ""
        warnings.append(doubt(whence, core=words))
        if core is not None:
            cases = cases_of(evidence.pack, core, core_u, target_of(wishes))
            hours = edge_hours(evidence.pack, core, core_u, target_of(wishes))

    seen = _observations(evidence, where, fits, quench, tempered, cases, wanted, wishes, warnings)
    early = next_step(seen)
    tests = _tests(early, wishes)
    routes = []
    for route in used:
        criteria = _criteria(wishes, route, evidence)
        routes.append(
            RouteResult(
                route,
                steel_verdict(
                    life=[
                        r.evidence
                        for r in ratios
                        if r.where.route == route and r.evidence and _about(piece, r.where.piece)
                    ],
                    hardness=_of_piece(hardness[route], piece),
                    damage=[d for d, its in damage if its == route and _about(piece, d.piece)],
                    case=cases[0][1] if cases and route == CARBURISED else None,
                    cracking=survival(evidence, where, route),
                    quench=quench[route],
                    piece=piece,
                    route=route,
                    criteria=criteria,
                    losses=_losses(wishes),
                    tests=tests,
                ),
                hardness[route],
                quench[route],
                tuple(r for r in ratios if r.where.route == route),
                tuple(d for d, its in damage if its == route),
            )
        )
    best = best_route([each.verdict for each in routes])
    tried = any(r.where.route == best.route and r.evidence for r in ratios)
    advice = next_step(replace(seen, verdict=best.verdict if tried else None))
    answer, text = _answer(advice, best, evidence)
    if text:
        warnings.append(doubt("sequence_stops", text=text))
    return SteelResult(
        study=study,
        evidence=evidence,
        wishes=wishes,
        answer=answer,
        decided_by_sequence=bool(text),
        best=best,
        routes=tuple(routes),
        advice=advice,
        cases=cases,
        hours=hours,
        core=(core, core_u, whence),
        criteria=_criteria(wishes, best.route, evidence),
        analysis=analysis,
        warnings=tuple(warnings),
        protocol=study.rules,
    )


def _known(piece, evidence):
    if piece is not None and piece not in evidence.piece_names:
        known = ", ".join(evidence.piece_names)
        raise UnusableInput(f'piece "{piece}" is not in the evidence', "piece", f"known: {known}")
    return piece


def _lives(study, where, warnings, workers, progress):
    """The study's wear curves and what they say against the reference; doubts are added."""
    if log_path(study.folder) is None or not where:
        return None, ()
    if not reference_blades(study):
        warnings.append(doubt("no_reference"))
        return None, ()
    analysis, code = analysed_lives(open_source(study.folder), workers=workers, progress=progress)
    if analysis is None:
        warnings.append(doubt(code))
        return None, ()
    ratios = life_ratios(analysis, where)
    warnings += [doubt(code) for code in dict.fromkeys(r.code for r in ratios if r.code)]
    return analysis, ratios


def _tempered(study, evidence, where, route, wanted, warnings):
    found, code = tempered_of(study, evidence, where, route, wanted)
    if code:
        warnings.append(doubt(code))
    return found


def _used_routes(evidence, hardness, ratios, damage, where):
    """The ways of working the steel that any evidence speaks of; as it is, at the least."""
    spoken = {r.where.route for r in ratios} | {its for _, its in damage}
    spoken |= {route for route, found in hardness.items() if found is not None}
    spoken |= {at.route for at in where.values() if at.route == CARBURISED}
    if evidence.pack is not None:
        spoken.add(CARBURISED)
    return [route for route in ROUTES if route in spoken or route == AS_IT_IS]


def _focus(evidence, used, hardness, ratios, damage):
    """The piece all routes are weighed for; None where every route speaks for the lot."""
    kinds = []
    for route in used:
        lives = {r.where.piece for r in ratios if r.where.route == route and r.evidence}
        chopped = {d.piece for d, its in damage if its == route}
        read = {p.piece for p in hardness[route].pieces} if hardness[route] else set()
        kinds += [names for names in (lives, chopped, read) if names]
    if not kinds:
        return evidence.piece_names[0]
    if all(len(names) > 1 for names in kinds):
        return None
    names = list(dict.fromkeys(name for names in kinds for name in sorted(names)))
    return max(names, key=lambda name: sum(name in kind for kind in kinds))


def _about(piece, other):
    return piece is None or piece == other


def _of_piece(found, piece):
    """Hardness where it was read on the piece asked about, else None."""
    if found is None or piece is None:
        return found
    return found if piece in [each.piece for each in found.pieces] else None


def _observations(evidence, where, fits, quench, tempered, cases, wanted, wishes, warnings):
    """What has been seen so far, as the sequence takes it."""
    blades, coating = stock_of(evidence)
    sparks, differ = sparks_of(evidence)
    if differ:
        warnings.append(doubt("sparks_differ"))
    own = fits[AS_IT_IS]
    notes = [piece.spark_note for piece in evidence.pieces if piece.spark_note]
    options = {} if wishes.least_blades is None else {"least_blades": wishes.least_blades}
    return Observations(
        blades_in_stock=blades,
        coating=coating,
        magnetic=magnetic_of(evidence),
        sparks=sparks,
        spark_note=" ".join(notes),
        coupon_hrc=list(own.values())[-1] if own else None,
        coupon_medium=list(own)[-1] if own else None,
        grain=grain_of(evidence, where),
        cracked=survival(evidence, where, AS_IT_IS, medium=last_medium(evidence, where)),
        quench=quench[AS_IT_IS] if _ladder_done(own, quench[AS_IT_IS]) else None,
        tempered=tempered[AS_IT_IS],
        hardness_wanted_hrc=wanted,
        case=cases[0][1] if cases else None,
        **options,
    )


def _ladder_done(fits, response):
    """Whether the quenches tried say enough: two of them, or one that no faster one can change."""
    if response is None:
        return False
    media = set(fits)
    return (
        len(media) > 1
        or response.hardens_in in ("oil", "air")
        or (media == {"water"} and response.hardens_in == "none")
    )


def _tests(advice, wishes):
    """The tests that are open at the sequence's present step, with the maker's own hours."""
    codes = {test.code for test in TESTS}
    unknown = (set(wishes.test_hours) | set(wishes.no_test)) - codes
    if unknown:
        raise UnusableInput(
            f'"{sorted(unknown)[0]}" is no test',
            "study.toml, verdict",
            f"known: {', '.join(sorted(codes))}",
        )
    if advice.action == "stop" and advice.step in EARLY:
        return ()
    allowed = EARLY.get(advice.step, codes)
    return tuple(
        replace(test, hours=wishes.test_hours.get(test.code, test.hours))
        for test in TESTS
        if test.code in allowed and test.code not in wishes.no_test
    )


def _criteria(wishes, route, evidence):
    """The maker's criteria on one route; an edge that must be hard right through is of the case."""
    names = (
        "life_ratio", "life_ratio_light", "hardness_hrc", "hardness_light_hrc", "damage_per_100",
        "damage_light_per_100", "edge_light_hrc", "cracked_share", "cracked_light_share",
    )  # fmt: skip
    stated = {name: getattr(wishes, name) for name in names if getattr(wishes, name) is not None}
    if route == CARBURISED and evidence.pack is not None and "edge" not in wishes.leave_out:
        stated["edge_hrc"] = target_of(wishes)
    if "life" in wishes.leave_out:
        stated["life_ratio"] = None
    if "hardness" in wishes.leave_out:
        stated["hardness_hrc"] = None
    return Criteria(**stated)


def _losses(wishes):
    stated = {
        name: value
        for name in ("wrong_reuse_h", "wrong_discard_h")
        if (value := getattr(wishes, name)) is not None
    }
    return Losses(**stated)


def _answer(advice, best, evidence):
    """The verdict's code, and the sequence's words where these decide it before any odds do."""
    if advice.action != "stop" or advice.step not in ("enough", "magnet_and_spark"):
        return best.verdict, ""
    _, coating = stock_of(evidence)
    if advice.step == "enough" and coating not in (None, "none", "removed"):
        return "cannot_tell", advice.text
    return "do_not_reuse", advice.text
