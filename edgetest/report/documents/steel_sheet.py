"""The verdict on a mystery steel: one page for the maker who has to decide."""

import re
from dataclasses import replace

from edgetest.errors import UnusableInput
from edgetest.report.documents.blocks import (
    answer,
    bullets,
    columns,
    each_text,
    facts,
    figure,
    section,
    text,
)
from edgetest.report.documents.case_section import case_section, codes_told
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.documents.frame import (
    data_checksum,
    front_of,
    program_words,
    settings_for,
    signature_section,
    write_occasion,
)
from edgetest.report.documents.lots_apart import lots_apart
from edgetest.report.documents.steel_first import method_words, plain_words
from edgetest.report.documents.steel_pieces import pieces_section
from edgetest.report.documents.typeset import KINDS
from edgetest.report.figures.plot_style import NARROW_IN
from edgetest.report.figures.steel_figures import plot_cases, plot_verdict
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units
from edgetest.steel.steel_cautions import LABORATORY
from edgetest.study.steel.evidence_words import (
    heats_in_words,
    in_celsius_too,
    instruments_in_words,
    notes_in_words,
    pieces_in_words,
    trials_in_words,
)
from edgetest.study.steel.of_the_lot import title_behind_name
from edgetest.study.steel.pack_words import pack_in_words, pack_of
from edgetest.study.steel.row_kinds import spaced

NAME = "verdict"
NOTHING_YET = "nothing was entered yet, so there is no page to write"
# Stands in the answer already, or is no doubt of this steel.
SAID_ANYWAY = ("invented", "core_as_stated", "core_from_analysis", "toughness_untried")
MOST_BESIDE = 16  # rows of what was seen in half a page; of more the other half would stay empty
SPARED = 6  # lines that the whole width has to spare, for beside it the page looks fuller
NARROW, HALF, WIDE = 40, 58, 112  # letters in a line: of a fact beside, a bullet, a fact alone
MOST_DOUBTS = 4
_BLANK = re.compile(r"(?<=[\d)]) (?=%|°C|HRC|mm|h\b)")  # between a number and its unit


def build_steel_document(
    result, folder, *, kinds=KINDS, paper=None, units=None, timestamp=None, progress=None
):
    """Write the verdict on a study's steel.

    Parameters
    ----------
    result : SteelResult
        From `edgetest.study.steel.judge_steel.judge_steel`.
    folder : path-like
        Made if it is not there.
    kinds, paper, units, timestamp, progress
        As in `edgetest.report.documents.document.build_document`.

    Returns
    -------
    list of Path
        `verdict.pdf`, `verdict.html`, in the order of `kinds`.

    Raises
    ------
    UnusableInput
        For an unknown kind, paper or unit, or a fault in the study's `[document]`; and where
        nothing was entered yet, for there is no verdict to print.
    """
    refuse_nothing_yet(result)
    settings = settings_for(result.study, kinds=kinds, paper=paper, units=units)
    return write_occasion(
        lambda day: steel_contents(result, settings, day=day),
        folder, NAME, settings, kinds=kinds, timestamp=timestamp,
        progress=progress,
    )  # fmt: skip


def refuse_nothing_yet(result):
    """Refuse a page where nothing was entered yet.

    Raises
    ------
    UnusableInput
        With what comes first.
    """
    if not result.begun:
        first = result.asked.decision.reasons[0].rstrip(".")
        raise UnusableInput(NOTHING_YET, "study.toml, evidence", first[:1].lower() + first[1:])


def steel_contents(result, settings, *, day):
    """Contents of the verdict's page.

    Parameters
    ----------
    result : SteelResult
    settings : Settings
    day : str
        When the page was made, as it says it.

    Returns
    -------
    Contents
    """
    front = front_of(result.study, settings, "What to do with the steel")
    rows = seen_in_words(result)
    left = [*_why(result), *_stands(result)]
    doubts, more_doubts = _doubts(result)
    mind = section("Mind", bullets(dict.fromkeys((*result.cautions(), LABORATORY))))
    beside = len(rows) <= MOST_BESIDE and _shorter_beside(rows, left, mind, doubts)
    seen = [section("What was seen", facts(rows, narrow=beside))]
    halves = ([*left, *doubts], [*seen, mind]) if beside else (left, [mind, *doubts])
    top = [
        *_broken(result),
        section(None, answer(*_answer(result))),
        *_pictures(result, front.pictures),
    ]
    pieces = pieces_section(result, lambda words: spoken(words, settings.units))
    end = [
        *more_doubts,
        *(case_section(result.cases) if result.cases else ()),
        section("What this does not say", text(LIMITS)),
        *signature_section(settings),
    ]
    one_page = [
        *top,
        section(None, columns(*halves, widths=(1.0, 1.0))),
        *pieces,
        *(() if beside else seen),
        *end,
    ]
    second = [*pieces, section("What was seen", facts(rows)), *end]
    two_pages = [
        [
            [*top, section(None, columns(left, [mind, *here], widths=(1.0, 1.0)))],
            [_second_page(result), *there, *second],
        ]
        for here, there in ((doubts, []), ([], doubts))
    ]
    return replace(
        front,
        sections=each_text(one_page, lambda words: spoken(words, settings.units)),
        two_pages=each_text(two_pages, lambda words: spoken(words, settings.units)),
        description=result.summary(),
        foot=foot_of(result, day),
        sheet=True,
    )


def _second_page(result):
    """Of what and by whom a second page is, for one that lies by itself."""
    study = result.study
    told = " · ".join(filter(None, (study.maker, study.title, study.date)))
    return section(None, text(f"{told}: what the verdict rests on"))


def _shorter_beside(rows, left, mind, doubts):
    """Whether the page is shorter with what was seen in half of its width, above what to mind."""
    narrow, wide = (sum(_lines(words, many) for _, words in rows) for many in (NARROW, WIDE))
    reasons, to_mind, in_doubt = (sum(map(_height, part)) for part in (left, [mind], doubts))
    seen_beside = max(reasons + in_doubt, narrow + to_mind)
    return seen_beside <= max(reasons, to_mind + in_doubt) + wide + SPARED


def _height(part):
    """About how many lines a section of bullets takes in half of the page."""
    return 2 + sum(_lines(item, HALF) for item in part["blocks"][0]["items"])


def _lines(words, letters):
    return -(-len(words) // letters)


def _answer(result):
    """The headline, what follows from it, and the numbers that it rests on."""
    about = f"Piece {result.asked.piece}: " if len(result.rows.pieces) > 1 else ""
    title = title_behind_name(result.asked) if about else result.asked.decision.title
    said = f"{about}{title[:1].lower()}{title[1:]}." if about else f"{title}."
    chance = f"{result.summary().partition('. ')[2]} {method_words(result)}".strip()
    more = [plain_words(result), chance, result.next_words()]
    low, high = result.wanted_hrc
    numbers = [
        ("Wanted for", wanted_for(result), ""),
        ("Hardness wanted, HRC", f"{low:g} to {high:g}", ""),
    ]
    return said, [line for line in (*more, *result.others_in_words()) if line], numbers


def wanted_for(result) -> str:
    """The use as its maker calls it, and as what it is judged where that is another word."""
    use = spaced(result.wishes.use) if result.wishes.use else "not said"
    called = str((result.study.verdict or {}).get("use", use)).strip()
    own = spaced(called.replace("-", "_")).casefold() in (use, f"{use}s")
    return use if own else f"{called}, judged as a {use}"


def _broken(result):
    """What does not fit together, each with its cure: it comes before any chance."""
    found = result.broken_words()
    return [section("This does not fit together", bullets(found))] if found else []


def _pictures(result, pictures):
    """Chances and, where there is a pack, its sections."""
    found = []
    if result.told:
        put_figure(
            pictures, "verdict.svg", plot_verdict(result).figure,
            narrow=lambda: plot_verdict(result, width_in=NARROW_IN).figure,
        )  # fmt: skip
        alt = " ".join((*result.likely_words(), *result.heat_words()))
        caption = "Chances from all that was seen and the trade's habits, not measured salvage."
        more = (result.mixed_words(), result.sisters_words())
        caption = " ".join((caption, *filter(None, more)))
        found.append(section(None, figure("verdict.svg", alt, caption)))
    if result.cases:
        put_figure(pictures, "case.svg", plot_cases(result.cases).figure)
        alt = " ".join(f"{name}: {case.summary()}" for name, case in result.cases[:2])
        whose = pack_of(result.rows.pack, result.seen)
        caption = f"{whose}. " * bool(whose) + (
            "Carbon across the section, and below it hardness after the temper (dotted: as "
            "quenched) and retained austenite in % (orange); hatched is ground away, the "
            "dashed line counts as hard."
        )
        found.append(section(None, figure("case.svg", alt, caption)))
    return found


def _why(result):
    """The reasons that the headline does not tell itself."""
    found = result.further_reasons()
    return [section("Why", bullets(found))] if found else []


def _stands(result):
    """Whether the headline stands while the numbers change, and what was thought before."""
    told = [each.summary() for each in (result.survival, result.before) if each is not None]
    told += filter(None, [result.asked.decision.heap_words()])
    return [section("How sure", bullets(told))] if told and result.told else []


def _doubts(result):
    """Doubts that bear on this steel, and those that find no room beside the reasons.

    Contradictions stand above.
    """
    broken = {one.doubt.code for one in result.asked.decision.unmended}
    told = codes_told(result.cases) if result.cases else ()
    found = lots_apart((result.asked, *result.others), result.summary())
    found += result.doubt_lines(said={*SAID_ANYWAY, *broken, *told})
    first, rest = found[:MOST_DOUBTS], found[MOST_DOUBTS:]
    return (
        [section("In doubt", bullets(first))] if first else [],
        [section("Also in doubt", bullets(rest))] if rest else [],
    )


def seen_in_words(result):
    """The evidence in the order of the work, a line or two each."""
    rows, study = result.rows, result.study
    found = [
        (breakable(name), words)
        for name, words in (
            *pieces_in_words(rows, result.seen),
            *heats_in_words(result.noted),
            *trials_in_words(result.noted),
            *notes_in_words(rows),
        )
    ]  # fmt: skip
    found += instruments_in_words(rows, result.noted)
    known = "; ".join(filter(None, (rows.known_low, rows.known_high)))
    if known:
        found.append(("Sparked beside", known))
    if rows.pack is not None:
        found.append(("Pack", pack_in_words(rows.pack, result.seen)))
    if study.reference is not None:
        blade = study.blade(study.reference)
        found.append(("Known blade", "; ".join(filter(None, (blade.id, blade.steel)))))
    return found or [("Nothing", "nothing was entered yet")]


LIMITS = (
    "Sparks and hardness rank a steel; they do not name it, and nothing here does. No log of "
    "real salvage stands behind the chances yet. The tool reports observations; it certifies "
    "neither a steel nor a knife."
)


def foot_of(result, day):
    """How to make the page again, in one line."""
    photos = [photo.sha256 for photo in result.analysis.photos] if result.analysis else []
    checksum = data_checksum(result.study.folder, photos)
    return (
        f"{program_words()}, {day} · an observation of these pieces, no certificate · "
        f"data SHA-256 {checksum[:16]}…"
    )


def spoken(words, units):
    """Words in the units asked for, no line ending before a unit."""
    said = in_celsius_too(words) if units == "metric" else in_units(words, units)
    return _BLANK.sub("\u00a0", said)
