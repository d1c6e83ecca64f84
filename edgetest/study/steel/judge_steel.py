"""Is the salvaged steel worth reusing: a study's evidence in, verdict, case and advice out."""

from dataclasses import dataclass, field, replace

from edgetest.doubts import Doubt, Where, doubt, each_once
from edgetest.errors import UnusableInput
from edgetest.steel.belief import DamageEvidence
from edgetest.steel.decision import TESTS, Losses
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.quench import QuenchResponse
from edgetest.steel.sequence import Observations, next_step
from edgetest.steel.steel_evidence import SteelEvidence, most_tested
from edgetest.steel.steel_verdict import Criteria, best_route, steel_verdict
from edgetest.store.records import STUDY_FILE, Study, load_study
from edgetest.store.workspace import log_path
from edgetest.study.sources import open_source
from edgetest.study.steel.blade_heats import reference_blades
from edgetest.study.steel.evidence_numbers import (
    Origin,
    grain_of,
    last_medium,
    magnetic_of,
    places,
    quench_fits,
    response_of,
    sparks_of,
    stock_of,
    survival,
    tempered_of,
    unplaced,
)
from edgetest.study.steel.evidence_records import (
    AS_IT_IS,
    CARBURISED,
    ROUTES,
    Evidence,
    Wishes,
    evidence_of,
    wishes_of,
)
from edgetest.study.steel.steel_lives import LifeRatio, analysed_lives, damage_of, life_ratios
from edgetest.study.steel.steel_pack import (
    core_of,
    packed_piece,
    target_of,
    wanted_of,
    worked_or_refused,
)
from edgetest.study.steel.steel_result import RouteResult, SteelResult
from edgetest.study.wear.wear_result import StudyResult

IN_STUDY = Where(STUDY_FILE)
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
        For photographs; see `edgetest.study.photos.measure_photos`.

    Returns
    -------
    SteelResult

    Raises
    ------
    UnusableInput
        For a fault in study, log, evidence or wishes, or a piece that nobody knows.
    """
    seen = _gather(load_study(folder), workers, progress)
    piece = _known(piece or seen.wishes.piece, seen.evidence)
    core, cases, hours = _pack(seen, piece)
    piece = piece or _focus(seen)
    observed = _observations(seen, cases)
    tests = _tests(next_step(observed), seen.wishes)
    routes = [_weigh(seen, route, piece, cases, tests) for route in seen.routes()]
    best = best_route([each.verdict for each in routes])
    tried = any(r.where.route == best.route and r.evidence for r in seen.ratios)
    advice = next_step(replace(observed, verdict=best.verdict if tried else None))
    answer, text = _answer(advice, best, seen.evidence)
    if text:
        seen.doubts.append(doubt("sequence_stops", text=text))
    return SteelResult(
        study=seen.study,
        evidence=seen.evidence,
        wishes=seen.wishes,
        answer=answer,
        decided_by_sequence=bool(text),
        best=best,
        routes=tuple(routes),
        advice=advice,
        cases=cases,
        hours=hours,
        core=core,
        criteria=_criteria(seen.wishes, best.route, seen.evidence),
        analysis=seen.analysis,
        doubts=tuple(seen.doubts),
        protocol=seen.study.rules,
    )


@dataclass
class _Gathered:
    """Everything that was seen of the steel, by route where it differs; doubts as they come."""

    study: Study
    evidence: Evidence
    wishes: Wishes
    where: dict[str, Origin]
    doubts: list[Doubt]
    analysis: StudyResult | None = None
    ratios: tuple[LifeRatio, ...] = ()
    damage: tuple[tuple[DamageEvidence, str], ...] = ()
    fits: dict[str, dict[str, HardnessResult]] = field(default_factory=dict)
    tempered: dict[str, HardnessResult | None] = field(default_factory=dict)
    hardness: dict[str, HardnessResult | None] = field(default_factory=dict)
    quench: dict[str, QuenchResponse | None] = field(default_factory=dict)

    @property
    def wanted_hrc(self):
        """Hardness wanted after the temper."""
        return self.wishes.hardness_hrc or Criteria().hardness_hrc

    def routes(self):
        """The ways of working the steel that any evidence speaks of; as it is, at the least."""
        spoken = {r.where.route for r in self.ratios} | {its for _, its in self.damage}
        spoken |= {route for route, found in self.hardness.items() if found is not None}
        spoken |= {at.route for at in self.where.values()}
        if self.evidence.pack is not None:
            spoken.add(CARBURISED)
        return [route for route in ROUTES if route in spoken or route == AS_IT_IS]


def _gather(study, workers, progress):
    """Read a study's evidence, logs and hardness."""
    evidence, wishes = evidence_of(study), wishes_of(study)
    where = places(study, evidence)
    seen = _Gathered(study, evidence, wishes, where, [])
    if study.invented:
        seen.doubts.append(doubt("invented", where=IN_STUDY))
    homeless = unplaced(study, where)
    if homeless:
        names = ", ".join(homeless)
        at = Where(STUDY_FILE, blade=names)
        seen.doubts.append(doubt("blade_without_piece", where=at, blades=names))
    seen.analysis, seen.ratios = _lives(study, where, seen.doubts, workers, progress)
    if wishes.damage_per_100 is not None and log_path(study.folder, "chops") is not None:
        seen.damage = damage_of(study.folder, where)
    for route in ROUTES:
        fits = quench_fits(evidence, where, route)
        tempered, code = tempered_of(study, evidence, where, route, seen.wanted_hrc)
        quench = response_of(evidence, fits, tempered, route)
        found = tempered
        if found is None and route == AS_IT_IS and quench and quench.hardens_in == "none":
            found, code = max(fits.values(), key=lambda fit: fit.moments()[0]), "untempered_used"
        if code:
            seen.doubts.append(doubt(code, where=IN_STUDY))
        seen.fits[route], seen.tempered[route] = fits, tempered
        seen.quench[route], seen.hardness[route] = quench, found
    return seen


def _pack(seen, piece):
    """Core, cases and hours of the study's pack, where it has one."""
    core = core_of(seen.evidence, seen.fits[AS_IT_IS], packed_piece(seen.where, piece))
    pack = seen.evidence.pack
    if pack is None:
        return core, (), None
    carbon = core.carbon_pct
    words = f"{carbon:.2f} ± {core.u_pct:.2f} %" if carbon is not None else ""
    seen.doubts.append(doubt(core.whence, where=Where(STUDY_FILE, value=carbon), core=words))
    if carbon is None:
        return core, (), None
    worked, refused = worked_or_refused(pack, core, target_of(seen.wishes))
    seen.doubts += refused
    cases = tuple((each.section, each.case) for each in worked)
    return core, cases, worked[0].hours if worked else None


def _evidence(seen, route, cases=()):
    """All that is weighed on one way of working the steel."""
    return SteelEvidence(
        life=tuple(r.evidence for r in seen.ratios if r.where.route == route and r.evidence),
        hardness=seen.hardness[route],
        damage=tuple(one for one, its in seen.damage if its == route),
        case=cases[0][1] if cases and route == CARBURISED else None,
        cracking=survival(seen.evidence, seen.where, route),
        quench=seen.quench[route],
    )


def _weigh(seen, route, piece, cases, tests):
    """The verdict on one way of working the steel, with its evidence."""
    evidence = _evidence(seen, route, cases)
    verdict = steel_verdict(
        evidence.of_piece(piece),
        piece=piece,
        route=route,
        criteria=_criteria(seen.wishes, route, seen.evidence),
        losses=_losses(seen.wishes),
        tests=tests,
    )
    ratios = tuple(r for r in seen.ratios if r.where.route == route)
    return RouteResult(route, verdict, evidence.hardness, evidence.quench, ratios, evidence.damage)


def _known(piece, evidence):
    if piece is not None and piece not in evidence.piece_names:
        known = ", ".join(evidence.piece_names)
        raise UnusableInput(f'piece "{piece}" is not in the evidence', "piece", f"known: {known}")
    return piece


def _lives(study, where, doubts, workers, progress):
    """The study's wear curves and what they say against the reference; doubts are added."""
    if log_path(study.folder) is None or not where:
        return None, ()
    if not reference_blades(study):
        doubts.append(doubt("no_reference", where=IN_STUDY))
        return None, ()
    analysis, code = analysed_lives(open_source(study.folder), workers=workers, progress=progress)
    if analysis is None:
        doubts.append(doubt(str(code), where=IN_STUDY))
        return None, ()
    ratios = life_ratios(analysis, where)
    doubts += each_once(ratio.doubt for ratio in ratios if ratio.doubt)
    return analysis, ratios


def _focus(seen):
    """The piece all routes are weighed for; None where every route speaks for the lot."""
    evidence = [_evidence(seen, route) for route in seen.routes()]
    kinds = [sorted(names) for each in evidence for names in each.pieces_by_kind()]
    return most_tested(kinds, default=seen.evidence.piece_names[0])


def _observations(seen, cases):
    """What has been seen so far, as the sequence takes it."""
    evidence, where = seen.evidence, seen.where
    blades, coating = stock_of(evidence)
    sparks, differ = sparks_of(evidence)
    if differ:
        seen.doubts.append(doubt("sparks_differ", where=IN_STUDY))
    own, quench = seen.fits[AS_IT_IS], seen.quench[AS_IT_IS]
    notes = [piece.spark_note for piece in evidence.pieces if piece.spark_note]
    least = seen.wishes.least_blades
    options = {} if least is None else {"least_blades": least}
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
        quench=quench if _ladder_done(own, quench) else None,
        tempered=seen.tempered[AS_IT_IS],
        hardness_wanted_hrc=seen.wanted_hrc,
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
            f"{STUDY_FILE}, verdict",
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
        stated["edge_hrc"] = wanted_of(evidence.pack, target_of(wishes)).quenched_hrc
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
