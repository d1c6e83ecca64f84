"""What should be done with the salvaged steel: a study's evidence in, verdict and case out."""

from dataclasses import replace
from shlex import quote

from edgetest.doubts import Doubt, Where, doubt, each_once
from edgetest.errors import UnusableInput
from edgetest.steel.fit_for_use import wanted_hrc
from edgetest.steel.moved_most import moved_most
from edgetest.steel.own_pieces import PRIOR_PIECES, learned_prior
from edgetest.steel.steel_actions import decide
from edgetest.steel.steel_decision import SteelLosses
from edgetest.steel.steel_seen import SteelSeen
from edgetest.steel.steel_tables import STEELS, SteelTables
from edgetest.steel.survives import survives
from edgetest.steel.weigh_steel import weigh_steel
from edgetest.store.kept_answers import worked_out_once
from edgetest.store.records import STUDY_FILE, Study, load_study
from edgetest.store.workspace import log_path
from edgetest.study.sources import open_source
from edgetest.study.steel.as_seen import steel_seen_of
from edgetest.study.steel.asked_sister import with_asked_sister
from edgetest.study.steel.beside_unsaid import beside_unsaid_doubts
from edgetest.study.steel.blade_heats import Home, blade_homes, reference_blades
from edgetest.study.steel.bought_together import unlike_their_lot
from edgetest.study.steel.chop_trials import chop_trials
from edgetest.study.steel.colour_apart import colour_doubts
from edgetest.study.steel.held_back import held_back_doubts
from edgetest.study.steel.hours_counted import losses_of
from edgetest.study.steel.known_beside import known_beside_doubts
from edgetest.study.steel.of_the_lot import as_each_says
from edgetest.study.steel.readings_left_out import readings_left_out
from edgetest.study.steel.stake_left import without_unfit_sisters
from edgetest.study.steel.steel_lives import LifeRatio, analysed_lives, life_ratios
from edgetest.study.steel.steel_pack import (
    core_of,
    of_the_pack,
    packed_piece,
    pieces_packed,
    target_of,
    worked_or_refused,
)
from edgetest.study.steel.steel_result import PieceVerdict, SteelResult, ThoughtBefore
from edgetest.study.steel.steel_rows import (
    SteelRows,
    VerdictWishes,
    steel_rows_of,
    verdict_wishes_of,
)
from edgetest.study.steel.steel_tables_file import load_steel_tables, own_tables_file
from edgetest.study.steel.unbroken_grain import unbroken_grain_doubts
from edgetest.study.steel.unlikely_sizes import unlikely_typed
from edgetest.study.steel.use_unsaid import use_unsaid_doubts
from edgetest.study.wear.wear_result import StudyResult
from edgetest.study.words import listed

IN_STUDY = Where(STUDY_FILE)
BOUGHT = "buy_known"


def judge_steel(folder, *, piece=None, workers=2, progress=None, try_numbers=True) -> SteelResult:
    """Weigh all of a study's evidence on an unknown steel, and say what to do next.

    Parameters
    ----------
    folder : path-like
        The study's folder; neither blade nor log is needed to begin.
    piece : str, optional
        The piece asked about; default: the study's wish, else the piece that was tested most.
    workers, progress
        For photographs; see `edgetest.study.photos.measure_photos`.
    try_numbers : bool
        Whether the headline is tried again under every number behind it, which takes
        seconds; without it the result's `survival` is None (see `with_numbers_tried`).

    Returns
    -------
    SteelResult

    Raises
    ------
    UnusableInput
        For a fault in study, log, evidence or wishes, or a piece that nobody knows.
    """
    study = load_study(folder)
    rows, wishes = steel_rows_of(study), verdict_wishes_of(study)
    homes = blade_homes(study, rows.piece_names)
    doubts: list[Doubt] = [doubt("invented", where=IN_STUDY)] if study.invented else []
    analysis, lives = study_lives(study, homes, doubts, workers, progress)
    trials = tuple(ratio.trial for ratio in lives if ratio.trial is not None)
    trials += chop_trials(study.folder, homes, reference_blades(study))
    found = steel_seen_of(rows, wishes, study=study, lives=trials)
    doubts += (*found.doubts, *unlike_their_lot(found.seen))
    seen, about = found.seen, _asked(piece or wishes.piece, found.seen)
    tables, losses = _tables_of(study, wishes), losses_of(wishes)
    names = dict.fromkeys((about, *(each.id for each in seen.pieces)))
    verdicts = [at_its_path(verdict_on(seen, tables, losses, each), folder) for each in names]
    verdicts = _at_its_stake(verdicts, seen, tables, losses, folder)
    asked, *others = as_each_says(with_asked_sister(verdicts, seen), seen)
    doubts += unlikely_typed(rows, asked.decision.unmended)
    doubts += (*beside_unsaid_doubts(rows), *known_beside_doubts(rows))
    doubts += use_unsaid_doubts(rows, wishes.use)
    doubts += (*colour_doubts(rows, tables), *held_back_doubts(seen), *unbroken_grain_doubts(rows))
    doubts += readings_left_out(rows)
    core, cases, hours = _pack(rows, wishes, seen, about, doubts)
    result = SteelResult(
        study=study,
        rows=rows,
        wishes=wishes,
        seen=seen,
        noted=found.noted,
        asked=asked,
        others=tuple(others),
        wanted_hrc=wanted_hrc(seen),
        lives=lives,
        analysis=analysis,
        core=core,
        cases=cases,
        hours=hours,
        doubts=tuple(doubts),
        protocol=study.rules,
        before=_thought_before(tables, seen, about),
    )
    return with_numbers_tried(result) if try_numbers else result


def with_numbers_tried(result: SteelResult, *, progress=None) -> SteelResult:
    """The result with its headline tried under every number behind it, half again or a third less.

    With it comes what of all that was seen moved the likeliest explanation most.

    `progress`, a callable of (done, total), is told of each trial. What was tried once is kept
    (see `edgetest.store.kept_answers`) and not tried again.
    """
    if not result.begun:
        return result
    tables = _tables_of(result.study, result.wishes)
    losses = losses_of(result.wishes)
    rows = result.rows
    if not (rows.pieces or rows.heats or rows.tempers or rows.trials):  # blades alone speak of none
        mend = "write down what was seen of it (`edgetest enter STUDY --evidence pieces …`)"
        raise UnusableInput("this study holds no found steel", "evidence", mend)
    piece = result.asked.piece

    def tried():
        return survives(result.seen, tables, losses, piece=piece, progress=progress)

    parts = result.seen, tables.numbers, tables.sources, tables.own, losses, piece
    asked = result.seen, tables.numbers, tables.own, piece
    moved = worked_out_once("moved_most", asked, lambda: (moved_most(result.seen, tables, piece),))
    survival = worked_out_once("numbers_tried", parts, tried)
    return replace(result, survival=survival, moved=moved[0])


def _thought_before(
    tables: SteelTables, seen: SteelSeen, piece: str | None
) -> ThoughtBefore | None:
    """The tables' chances by the piece's origin; None where there is no piece."""
    about = seen.asked(piece)
    if about is None:
        return None
    prior, counted = learned_prior(tables, about.origin)
    source = tables.sources["prior"][about.origin]
    if counted:
        source += f"; with {counted:g} of the shop's own pieces, the habit worth {PRIOR_PIECES:g}"
    return ThoughtBefore(about.origin, source, dict(zip(STEELS, map(float, prior), strict=True)))


def _tables_of(study: Study, wishes: VerdictWishes) -> SteelTables:
    """The tables that the study names, else the program's."""
    return load_steel_tables(own_tables_file(study, wishes.tables))


def verdict_on(
    seen: SteelSeen, tables: SteelTables, losses: SteelLosses, piece: str | None
) -> PieceVerdict:
    """What is believed of one piece, and the next step with it."""
    belief = weigh_steel(seen, tables, piece=piece)
    return PieceVerdict(belief.piece, belief, decide(seen, belief, tables, losses))


def _at_its_stake(verdicts, seen, tables, losses, folder):
    """Verdicts, those that buy known steel told of the blades that the others leave at stake."""
    reused = frozenset(one.piece for one in verdicts if one.decision.action == "reuse")
    losses = replace(losses, reused=reused)
    found = []
    for one in verdicts:
        bought = one.decision.action == BOUGHT
        left = without_unfit_sisters(verdicts, seen, one.piece) if bought else None
        anew = left is not None or (bought and seen.trials)
        told = verdict_on(left or seen, tables, losses, one.piece) if anew else one
        stays = told is not one and told.decision.action == BOUGHT
        found.append(at_its_path(told, folder) if stays else one)
    return found


def at_its_path(verdict: PieceVerdict, folder) -> PieceVerdict:
    """The same, with the study's path in the lines to type, where the steel's room knows none."""
    now = f"edgetest enter {quote(str(folder))} "

    def named(text):
        return text.replace("edgetest enter STUDY ", now)

    def told(one: Doubt) -> Doubt:
        return replace(one, text=named(one.text))

    decision = verdict.decision
    broken = (
        replace(one, doubt=told(one.doubt), cure=named(one.cure)) for one in decision.contradictions
    )
    decision = replace(
        decision, contradictions=tuple(broken), doubts=tuple(map(told, decision.doubts))
    )
    return replace(verdict, decision=decision)


def _asked(piece: str | None, seen: SteelSeen) -> str | None:
    """The piece asked about, else the one with most heats, tempers and trials."""
    known = [each.id for each in seen.pieces]
    if piece is not None and piece not in known:
        mend = f"known: {', '.join(known)}" if known else "add it to [[evidence.pieces]]"
        raise UnusableInput(f'piece "{piece}" is not in the evidence', "piece", mend)
    if piece is not None or not known:
        return piece
    tested = dict.fromkeys(known, 0)
    for heat in seen.heats:
        tested[heat.piece] = tested.get(heat.piece, 0) + 1 + len(heat.tempers)
    for trial in seen.trials:
        tested[trial.piece] = tested.get(trial.piece, 0) + 1
    return max(tested, key=lambda name: tested[name])


def study_lives(
    study: Study, homes: dict[str, Home], doubts: list[Doubt], workers, progress
) -> tuple[StudyResult | None, tuple[LifeRatio, ...]]:
    """The study's wear curves and what they say against the reference.

    Parameters
    ----------
    study : Study
    homes : dict of str to Home
        The blades of the unknown steel.
    doubts : list of Doubt
        What speaks against the lives is added to it.
    workers, progress
        For photographs.
    """
    if log_path(study.folder) is None or not homes:
        return None, ()
    if not reference_blades(study):
        doubts.append(doubt("no_reference", where=IN_STUDY))
        return None, ()
    analysis, code = analysed_lives(open_source(study.folder), workers=workers, progress=progress)
    if analysis is None:
        doubts.append(doubt(str(code), where=IN_STUDY))
        return None, ()
    ratios = life_ratios(analysis, homes)
    doubts += each_once(ratio.doubt for ratio in ratios if ratio.doubt)
    return analysis, ratios


def _pack(
    rows: SteelRows,
    wishes: VerdictWishes,
    seen: SteelSeen,
    piece: str | None,
    doubts: list[Doubt],
):
    """Core, cases and hours of the study's pack, where it is of the piece; doubts are added."""
    pack = rows.pack
    if pack is None or not of_the_pack(pack, seen, piece):
        return core_of(None, seen, piece), (), None
    core = core_of(pack, seen, packed_piece(pack, seen, piece))
    if pieces_packed(pack, seen) is None and len(rows.pieces) > 1:
        doubts.append(doubt("pack_of_whom", where=IN_STUDY, pieces=listed(rows.piece_names)))
    carbon = core.carbon_pct
    words = f"{carbon:.2f} ± {core.u_pct:.2f} %" if carbon is not None else ""
    doubts.append(doubt(core.whence, where=Where(STUDY_FILE, value=carbon), core=words))
    if carbon is None:
        return core, (), None
    worked, refused = worked_or_refused(pack, core, target_of(wishes))
    doubts += refused
    cases = tuple((each.section, each.case) for each in worked)
    return core, cases, worked[0].hours if worked else None
