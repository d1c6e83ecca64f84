"""Is the salvaged steel worth reusing: a study's evidence in, verdict, case and advice out."""

from dataclasses import dataclass, field, replace

from edgetest.errors import UnusableInput
from edgetest.estimate import explain
from edgetest.protocol import Protocol
from edgetest.records import Study, load_study
from edgetest.steel.belief import DamageEvidence
from edgetest.steel.case import CaseResult
from edgetest.steel.decision import TESTS, Losses
from edgetest.steel.hardness import HardnessResult
from edgetest.steel.outcome import VERDICTS, Verdict
from edgetest.steel.pack import PackHours
from edgetest.steel.quench import QuenchResponse
from edgetest.steel.reasons import reason
from edgetest.steel.sequence import CAUTIONS, STEPS, Advice, Observations, next_step
from edgetest.steel.verdict import Criteria, best_route, steel_verdict
from edgetest.study.evidence import (
    AS_IT_IS,
    CARBURISED,
    ROUTES,
    Evidence,
    Wishes,
    evidence_of,
    wishes_of,
)
from edgetest.study.results import StudyResult
from edgetest.study.sources import open_source
from edgetest.study.steel_evidence import (
    cases_of,
    core_of,
    edge_hours,
    grain_of,
    last_medium,
    magnetic_of,
    packed_piece,
    places,
    quench_fits,
    reference_blades,
    response_of,
    sparks_of,
    stock_of,
    survival,
    target_of,
    tempered_of,
    unplaced,
)
from edgetest.study.steel_lives import (
    LifeRatio,
    analysed_lives,
    damage_of,
    life_ratios,
    life_words,
)
from edgetest.workspace import log_path

SENTENCES = {
    "invented": "The data of this study are invented, for demonstration.",
    "core_from_analysis": "Carbon of the core: {core}, by the laboratory's analysis.",
    "core_as_stated": "Carbon of the core: {core}, as stated with the pack.",
    "core_from_quench": (
        "Carbon of the core: {core}, from what the untreated steel's as-quenched hardness allows; "
        "a laboratory's figure would narrow it."
    ),
    "core_unknown": (
        "The case is not worked out: the carbon of the core is not known. Quench and file a "
        "coupon of the untreated steel, or write core_pct into [evidence.pack]."
    ),
    "temper_chosen": (
        "Several tempers were read and none is marked for use: the one most likely within the "
        "wanted range counts. Write for_use = true at the one meant."
    ),
    "untempered_used": (
        "Read straight from the quench, untempered: a temper only makes it softer, so this is the "
        "most the steel as it is can give."
    ),
    "blade_without_piece": (
        "Left out, because it is not said from which piece they were forged: {blades}. Write "
        "piece = with each."
    ),
    "sparks_differ": (
        "The pieces spark differently: treat each as its own steel until hardness says otherwise."
    ),
    "life_at_least": (
        "A test blade had not reached the limit when it was stopped: its life counts as the least "
        "it can be. Cut on to see more."
    ),
    "reference_stopped": (
        "The reference blade was stopped before the limit, so no life can be held against it: cut "
        "it further."
    ),
    "no_reference": (
        "No reference blade is named: write reference = with the id of a blade of known steel."
    ),
    "no_life_yet": "No edge-retention run is logged yet.",
    "lives_by_grade": (
        "The study reads grades; the verdict weighs lives read as numbers only. Compare grades "
        "with edgetest compare."
    ),
    "sequence_stops": "The sequence of the work stops here, whatever the odds: {text}",
}
# What the sequence's next step leaves open to do; nothing is asked before it is needed.
EARLY = {
    "enough": (),
    "magnet_and_spark": (),
    "coupon": ("quench_and_break", "lab_analysis"),
    "quench_ladder": ("quench_and_break", "lab_analysis"),
    "temper_ladder": ("quench_and_break", "lab_analysis", "hardness_ladder"),
}


@dataclass(frozen=True)
class RouteResult:
    """One way to work the steel: its evidence and its verdict."""

    route: str
    verdict: Verdict
    hardness: HardnessResult | None
    quench: QuenchResponse | None
    lives: tuple[LifeRatio, ...]
    damage: tuple[DamageEvidence, ...]

    def to_dict(self):
        """Plain values for JSON."""
        return {
            **self.verdict.to_dict(),
            "hardness": self.hardness.to_dict() if self.hardness else None,
            "quench": self.quench.to_dict() if self.quench else None,
            "lives": [ratio.to_dict() for ratio in self.lives],
            "damage": [vars(one) for one in self.damage],
        }


@dataclass(frozen=True)
class SteelResult:
    """The verdict on an unknown steel with all that it rests on.

    `answer` is the verdict's code, also where the sequence of the work decides it before
    any odds do (`decided_by_sequence`); `best` is the verdict of the route with the least
    expected loss.
    """

    study: Study
    evidence: Evidence
    wishes: Wishes
    answer: str
    decided_by_sequence: bool
    best: Verdict
    routes: tuple[RouteResult, ...]
    advice: Advice
    cases: tuple[tuple[str, CaseResult], ...]
    hours: PackHours | None
    core: tuple[float | None, float, str]
    criteria: Criteria
    analysis: StudyResult | None
    warnings: tuple[dict, ...]
    protocol: Protocol | None = field(default=None, repr=False)

    @property
    def title(self):
        """What the study is called."""
        return self.study.title

    @property
    def best_route(self):
        """The route that the verdict speaks of, with its evidence."""
        return next(each for each in self.routes if each.route == self.best.route)

    def next_words(self):
        """What to do next: the sequence's open step, else the test that saves most; else ""."""
        if self.advice.action in ("do", "repeat") and self.advice.step != "test_blade":
            return self.advice.summary()
        test = self.best.next_test
        if test is not None:
            return (
                f"Next: {test.title}; {test.hours:g} h of work, expected to save "
                f"{test.saves_h:.1f} h of wrong decisions."
            )
        return self.advice.summary() if self.advice.action == "do" else ""

    def cautions(self):
        """What to mind at the step that is planned, else at the test blade."""
        step = self.advice.step if self.advice.step else STEPS[-1]
        return CAUTIONS[step]

    def to_dict(self):
        """Plain values for JSON: the verdict, then what it rests on."""
        return {
            **self.best.to_dict(),
            "study": self.title,
            "verdict": self.answer,
            "title": VERDICTS[self.answer],
            "summary": self.summary(),
            "next": self.next_words() or None,
            "cautions": list(self.cautions()),
            "decided_by_sequence": self.decided_by_sequence,
            "advice": self.advice.to_dict(),
            "routes": [route.to_dict() for route in self.routes],
            "core": {
                "carbon_pct": self.core[0],
                "carbon_u_pct": self.core[1] if self.core[0] is not None else None,
                "from": self.core[2],
            },
            "cases": [{"section": name, **case.to_dict()} for name, case in self.cases],
            "hours": self.hours.to_dict() if self.hours else None,
            "warnings": list(self.all_warnings()),
        }

    def all_warnings(self):
        """Every doubt once, as code and sentence: of study, verdict and the edge's case."""
        found = list(self.warnings)
        found += [reason(code) for code in self.best.warnings]
        found += [reason(code) for _, case in self.cases[:1] for code in case.warnings]
        return tuple({each["code"]: each for each in found}.values())

    def summary(self):
        """The verdict as a maker reads it out."""
        if self.decided_by_sequence:
            return f"{VERDICTS[self.answer]}: {self.advice.text}"
        return replace(self.best, next_test=None).summary()

    def words(self):
        """The verdict, each route's, the case, what to do next, what to mind."""
        lines = [self.summary(), ""]
        lines += [f"- {line}" for line in self.reasons()]
        for route in self.routes:
            if route.route != self.best.route:
                lines.append(f"- {replace(route.verdict, next_test=None).summary()}")
        lines += [f"- {name}: {case.summary()}" for name, case in self.cases]
        lines += [f"- {warning['text']}" for warning in self.all_warnings()]
        lines += ["", *filter(None, [self.next_words()])]
        lines += [f"Mind: {caution}" for caution in self.cautions()]
        return "\n".join(lines)

    def reasons(self):
        """The reasons of the verdict, without those that name the next test."""
        lives = [life_words(ratio) for ratio in self.best_route.lives]
        own = [text for text in self.best.reasons if not text.startswith("Next: ")]
        return [*lives, *own]


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
    warnings = [_say("invented")] if study.invented else []
    homeless = unplaced(study, where)
    if homeless:
        warnings.append(_say("blade_without_piece", blades=", ".join(homeless)))
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
        warnings.append(_say("untempered_used"))

    used = _used_routes(evidence, hardness, ratios, damage, where)
    core, core_u, whence = core_of(evidence, fits[AS_IT_IS], packed_piece(where, piece))
    piece = piece or _focus(evidence, used, hardness, ratios, damage)
    cases: tuple[tuple[str, CaseResult], ...] = ()
    hours = None
    if evidence.pack is not None:
        words = f"{core:.2f} ± {core_u:.2f} %" if core is not None else ""
        warnings.append(_say(whence, core=words))
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
        warnings.append(_say("sequence_stops", text=text))
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


def _say(code, **words):
    """A doubt of the study with its sentence filled in."""
    return explain(code, SENTENCES[code].format(**words))


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
        warnings.append(_say("no_reference"))
        return None, ()
    analysis, code = analysed_lives(open_source(study.folder), workers=workers, progress=progress)
    if analysis is None:
        warnings.append(_say(code))
        return None, ()
    ratios = life_ratios(analysis, where)
    warnings += [_say(code) for code in dict.fromkeys(r.code for r in ratios if r.code)]
    return analysis, ratios


def _tempered(study, evidence, where, route, wanted, warnings):
    found, code = tempered_of(study, evidence, where, route, wanted)
    if code:
        warnings.append(_say(code))
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
        warnings.append(_say("sparks_differ"))
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
