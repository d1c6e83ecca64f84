"""The page that goes with pieces of steel to who takes them: what is known of each, no prices."""

from dataclasses import replace

from edgetest.errors import UnusableInput
from edgetest.estimate import chance
from edgetest.report.documents.blocks import answer, bullets, each_text, facts, section, text
from edgetest.report.documents.frame import (
    front_of,
    settings_for,
    signature_section,
    write_occasion,
)
from edgetest.report.documents.lots_apart import lots_apart
from edgetest.report.documents.steel_pieces import TITLE, chance_alone, lines_of_pieces
from edgetest.report.documents.steel_sheet import (
    LIMITS,
    SAID_ANYWAY,
    foot_of,
    refuse_nothing_yet,
    seen_in_words,
    spoken,
    wanted_for,
)
from edgetest.report.documents.typeset import KINDS
from edgetest.steel.steel_cautions import LABORATORY
from edgetest.steel.weigh_steel import anything_seen
from edgetest.study.steel.evidence_words import trials_in_words
from edgetest.study.steel.light_use_words import light_use_words
from edgetest.study.steel.of_the_lot import pieces_together
from edgetest.study.steel.steel_pack import of_the_pack
from edgetest.study.words import listed

NAME = "handed_over"
CHANCE = (
    "The chance in the last column is that a piece makes {use}, treated rightly, if the trade's "
    "habits hold for the heap that it comes from."
)
BY_HEAP = (
    "In brackets it stands for a poor heap and for a good one: one in ten is poorer still, one in "
    "ten better."
)
UNPACKED = (
    "Where the table says to carburise, it is the chance of the piece as it is, without packing."
)
TOLD_HERE = tuple(code for code in SAID_ANYWAY if code != "toughness_untried")
OWN_HOURS = (
    "Where the table says to buy known steel, that follows from the hours and prices of the shop "
    "that tested: yours may say otherwise."
)


def pieces_named(words, known) -> tuple[str, ...]:
    """The pieces that are typed as "A1, A2", in the order of the evidence; no name has a comma.

    Raises
    ------
    UnusableInput
        For a piece that nobody knows, and where none is named.
    """
    named = [one for one in map(str.strip, words.split(",")) if one]
    strange = [one for one in named if one not in known]
    if strange or not named:
        what = f"no piece is called {listed(strange)}" if strange else "no piece is named"
        raise UnusableInput(
            what, "--hand-over", f"name them as 'A1, A2'; known: {', '.join(known) or 'none yet'}"
        )
    return tuple(one for one in known if one in named)


def of_these(result, pieces):
    """The same verdict with these pieces alone, and what was seen of them.

    Parameters
    ----------
    result : SteelResult
    pieces : tuple of str

    Returns
    -------
    SteelResult
        Its headline is that of the first piece.
    """
    first, *others = (one for one in (result.asked, *result.others) if one.piece in pieces)
    return replace(
        result, rows=_rows_of(result, pieces), seen=_seen_of(result.seen, pieces),
        noted=_seen_of(result.noted, pieces), asked=first, others=tuple(others),
        doubts=_doubts_of(result, pieces),
    )  # fmt: skip


def _doubts_of(result, pieces):
    """The doubts but for those about a piece that is not handed over.

    That one came out unlike its lot is a doubt of every piece of the lot.
    """
    stay = [one.id for one in result.noted.pieces if one.id not in pieces]
    lots = {one.lot for one in result.noted.pieces if one.id in pieces and one.lot}

    def elsewhere(one):
        if one.code == "parted_from_lot":
            return not any(f" of lot {lot} (" in one.text for lot in lots)
        about = one.where.value, (one.where.blade or "").removeprefix("piece ")
        return any(f"{each}, ".startswith(f"{name}, ") for each in about for name in stay)

    return tuple(one for one in result.doubts if not elsewhere(one))


def _seen_of(seen, pieces):
    """What was seen of these pieces."""
    heats, trials = (
        tuple(row for row in rows if row.piece in pieces) for rows in (seen.heats, seen.trials)
    )
    kept = tuple(one for one in seen.pieces if one.id in pieces)
    return replace(seen, pieces=kept, heats=heats, trials=trials)


def _rows_of(result, pieces):
    """What was typed of these pieces; where the study has one, no row need name it."""
    rows = result.rows
    every = len(rows.pieces) == 1
    heats, tempers = (
        [row for row in table if every or row.piece in pieces]
        for table in (rows.heats, rows.tempers)
    )
    packed = any(of_the_pack(rows.pack, result.seen, each) for each in pieces)
    kept = [each for each in rows.pieces if each.id in pieces]
    pack = rows.pack if packed else None
    more = {"pieces": kept, "heats": heats, "tempers": tempers, "note": "", "pack": pack}
    return rows.model_copy(update=more)


def build_hand_over(
    result, folder, pieces, *, kinds=KINDS, paper=None, units=None, timestamp=None, progress=None
):
    """Write the page that goes with some pieces of a study's steel.

    Parameters
    ----------
    result : SteelResult
        From `edgetest.study.steel.judge_steel.judge_steel`.
    folder : path-like
        Made if it is not there.
    pieces : tuple of str
        Those that change hands, in the order of the evidence (see `pieces_named`).
    kinds, paper, units, timestamp, progress
        As in `edgetest.report.documents.document.build_document`.

    Returns
    -------
    list of Path
        `handed_over.pdf`, `handed_over.html`, in the order of `kinds`.

    Raises
    ------
    UnusableInput
        For an unknown kind, paper or unit, a fault in the study's `[document]`, and where nothing
        was entered yet.
    """
    refuse_nothing_yet(result)
    settings = settings_for(result.study, kinds=kinds, paper=paper, units=units)
    return write_occasion(
        lambda day: hand_over_contents(result, pieces, settings, day=day),
        folder, NAME, settings, kinds=kinds, timestamp=timestamp, progress=progress,
    )  # fmt: skip


def hand_over_contents(result, pieces, settings, *, day):
    """Contents of the page that goes with these pieces.

    Parameters
    ----------
    result : SteelResult
    pieces : tuple of str
    settings : Settings
    day : str

    Returns
    -------
    Contents
    """
    here = of_these(result, pieces)
    verdicts = (here.asked, *here.others)
    front = front_of(result.study, settings, "What is known of these pieces")
    headline = f"{len(pieces)} of {len(result.noted.pieces)} pieces: {listed(pieces)}."
    low, high = result.wanted_hrc
    numbers = [
        ("Wanted for", wanted_for(result), ""),
        ("Hardness wanted, HRC", f"{low:g} to {high:g}", ""),
    ]

    def said(words):
        return spoken(words, settings.units)

    sections = [
        section(None, answer(headline, _meant(result, here, pieces), numbers)),
        section(TITLE, lines_of_pieces(here, said, chance_cell=_chance)),
        *_listed("This does not fit together", _broken(verdicts)),
        *_listed("Why that is next", _why(verdicts)),
        *_listed("In doubt", _doubted(here, verdicts), (*lots_apart(verdicts), *_of_all(here))),
        section("Mind", bullets(dict.fromkeys((*here.cautions(), LABORATORY)))),
        *_tried_beside(result, pieces),
        section("What was seen", facts(seen_in_words(here))),
        section("What this does not say", text(LIMITS)),
        *signature_section(settings),
    ]  # fmt: skip
    return replace(
        front,
        sections=each_text(sections, said),
        description=headline,
        foot=foot_of(result, day),
        sheet=True,
    )


def _meant(result, here, pieces):
    """What the chances mean, on what else they rest, and whose hours stand behind a step."""
    verdicts = (here.asked, *here.others)
    lines = []
    if any(one.decision.chance_told is not None for one in verdicts):
        use = result.asked.decision.use
        lines.append(
            CHANCE.format(use=f"a good {use.replace('_', ' ')}" if use else "a good blade")
        )
        if any(one.decision.apart_by_heap() for one in verdicts):
            lines.append(BY_HEAP)
        if any(one.decision.action == "carburise" for one in verdicts):
            lines.append(UNPACKED)
        if stay := _that_stay(result, pieces):
            lines.append(
                f"What was seen of {listed(stay)}, of their lots and not handed over, counts too."
            )
    if any(one.decision.action == "buy_known" for one in verdicts):
        lines.append(OWN_HOURS)
    return [*lines, *filter(None, [light_use_words(here)])]


def _that_stay(result, pieces):
    """Pieces of the same lots that do not change hands, of which something was seen."""
    lots = {one.lot for one in result.seen.pieces if one.id in pieces and one.lot is not None}
    return [
        one.id for one in result.seen.pieces
        if one.lot in lots and one.id not in pieces and anything_seen(result.seen, one)
    ]  # fmt: skip


def _tried_beside(result, pieces):
    """What was tried of those that stay: who takes their sisters builds on it; its notes aside."""
    stay = _that_stay(result, pieces)
    tried = tuple(replace(one, note="") for one in result.noted.trials if one.piece in stay)
    rows = trials_in_words(replace(result.noted, trials=tried))
    title = "What was tried of their lots, on pieces not handed over"
    return [section(title, facts(rows))] if rows else []


def _chance(decision):
    """The chance of a piece, and in brackets what it were in a poor heap and in a good one."""
    apart = decision.apart_by_heap()
    if decision.chance_told is None or apart is None:
        return chance_alone(decision)
    low, high = (chance(one).removesuffix(" %") for one in apart)
    return f"{chance_alone(decision)} ({low} to {high})"


def _listed(title, told, more=()):
    """A section of lines, those of several pieces told once; none where nothing is told."""
    found = [*pieces_together(dict.fromkeys(told)), *more]
    return [section(title, bullets(found))] if found else []


def _why(verdicts):
    """(piece, sentence) of why a step is next; of bought steel the shop's own hours are why."""
    for one in verdicts:
        for words in one.decision.reasons * (one.decision.action != "buy_known"):
            yield one.piece, words


def _broken(verdicts):
    """(piece, sentence) of what does not fit together; what its maker may do about it aside."""
    for one in verdicts:
        for each in one.decision.unmended:
            yield one.piece, each.doubt.text.removesuffix(each.cure).rstrip()


def _doubted(here, verdicts):
    """(piece, sentence) of each doubt of these pieces, what stands elsewhere on the page aside."""
    every = _of_all(here)
    for one in verdicts:
        view = replace(here, asked=one, cases=())
        broken = {each.doubt.code for each in one.decision.unmended}
        for words in view.doubt_lines(said={*TOLD_HERE, *broken}):
            if words not in every:
                yield one.piece, words


def _of_all(here):
    """The doubts that are of the whole study, each a sentence that names what it is about."""
    return list(dict.fromkeys(one.text for one in here.doubts if one.code not in TOLD_HERE))
