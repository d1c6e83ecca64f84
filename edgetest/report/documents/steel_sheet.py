"""The verdict on a mystery steel: one page for the maker who has to decide."""

import re
from dataclasses import replace

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
from edgetest.report.documents.frame import (
    data_checksum,
    front_of,
    program_words,
    settings_for,
    signature_section,
    write_occasion,
)
from edgetest.report.documents.typeset import KINDS
from edgetest.report.doubt_lines import doubt_lines
from edgetest.report.figures.plot_style import svg_bytes
from edgetest.report.figures.steel_figures import plot_verdict
from edgetest.report.letters import breakable
from edgetest.report.wording import chance_words, in_units
from edgetest.steel.outcome import VERDICTS
from edgetest.steel.sequence import CAUTIONS
from edgetest.study.steel.steel_lives import life_against_reference
from edgetest.units import as_typed

NAME = "verdict"
SUBJECTS = {
    "life": "Life",
    "hardness": "Hardness",
    "damage": "Chips and rolls",
    "edge": "Least carbon of the edge",
    "cracking": "Cracked in the quench",
}
SPARKS = {
    "like_low": "sparks like the low-carbon steel",
    "between": "sparks between the two known steels",
    "like_high": "sparks like the high-carbon steel",
}
SAID_ANYWAY = (
    "one_piece", "independent_evidence", "invented", "no_evidence", "core_as_stated",
    "core_from_analysis", "sequence_stops",
)  # fmt: skip  # stands in the answer or is no doubt of this steel
MOST_DOUBTS = 5
_BLANK = re.compile(r"(?<=[\d)]) (?=%|°C|HRC|mm|h\b)")  # between a number and its unit
SAFETY = (
    *CAUTIONS["enough"],
    "Quench fire, carburising fumes and the grinder: local codes and licensed practice first.",
)


def build_steel_document(result, folder, *, kinds=KINDS, paper=None, units=None, timestamp=None):
    """Write the verdict on a study's steel.

    Parameters
    ----------
    result : SteelResult
        From `edgetest.study.steel.judge_steel.judge_steel`.
    folder : path-like
        Made if it is not there.
    kinds, paper, units, timestamp
        As in `edgetest.report.documents.document.build_document`.

    Returns
    -------
    list of Path
        `verdict.pdf`, `verdict.html`, in the order of `kinds`.

    Raises
    ------
    UnusableInput
        For an unknown kind, paper or unit, or a fault in the study's `[document]`.
    """
    settings = settings_for(result.study, kinds=kinds, paper=paper, units=units)
    return write_occasion(
        lambda day: steel_contents(result, settings, day=day),
        folder, NAME, settings, kinds=kinds, timestamp=timestamp,
    )  # fmt: skip


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
    front = front_of(result.study, settings, "Is the steel worth reusing?")
    words = verdict_sentences(result)
    sections = [
        section(None, answer(words[0], words[1:], _numbers(result))),
        section(None, _picture(result, front.pictures)),
        section(
            None,
            columns(
                [
                    section("Why", bullets(_why(result))),
                    section("What next", bullets(_next(result))),
                    *_doubts(result),
                ],
                [
                    section("What was seen", facts(_seen(result), narrow=True)),
                    section("Mind", bullets(dict.fromkeys((*result.cautions(), *SAFETY)))),
                ],
                widths=(1.0, 1.0),
            ),
        ),
        *(case_section(result.cases) if _carburised(result) else ()),
        section("What this does not say", text(_limits(result))),
        *signature_section(settings),
    ]
    return replace(
        front,
        sections=each_text(sections, lambda words: _spoken(words, settings.units)),
        description=result.summary(),
        foot=_foot(result, day),
        sheet=True,
    )


def verdict_sentences(result):
    """The verdict, of what, and how sure; then the other ways of working the steel."""
    best = result.best
    if result.decided_by_sequence:
        return [f"{VERDICTS[result.answer]}.", result.advice.text]
    about = f"piece {best.piece}" if best.scope == "piece" else "the lot"
    if not any(c.evidence for c in best.criteria):
        return [
            f"{VERDICTS[result.answer]}: {about}.",
            "Nothing is known of its hardness or its edge yet.",
            result.next_words(),
        ]
    way = f", {best.route}" if len(result.routes) > 1 else ""
    said = [
        f"{VERDICTS[result.answer]}: {about}{way}.",
        f"Fit for full use with odds of {chance_words(best.probability_fit)}, for light work or "
        f"better {chance_words(best.probability_light_or_better)}.",
    ]
    missing = [SUBJECTS[c.name].lower() for c in best.criteria if not c.evidence]
    if missing:
        said.append(
            f"No evidence yet on {' and '.join(missing)}: that part of the odds is only what is "
            "thought beforehand."
        )
    for route in result.routes:
        if route.route != best.route:
            verdict = route.verdict
            said.append(
                f"{route.route.capitalize()}: {VERDICTS[verdict.verdict].lower()}, fit with odds "
                f"of {chance_words(verdict.probability_fit)}."
            )
    if best.scope == "piece":
        said.append("This holds for that piece; the lot wants a blade from another piece.")
    return said


def _numbers(result):
    """The numbers that decide: life, hardness, the edge."""
    strip = []
    for c in result.best.criteria:
        if not c.evidence or c.name not in ("life", "hardness", "edge"):
            continue
        shown, _, interval = c.value.summary().partition(" (")
        unit = {"life": "× reference", "hardness": "HRC", "edge": "% carbon"}[c.name]
        strip.append((f"{SUBJECTS[c.name]}, {unit}", shown, interval.partition(")")[0]))
    return strip


def _picture(result, pictures):
    """Odds and case in one figure."""
    ax = plot_verdict(result.best, result.cases if _carburised(result) else ())
    pictures["verdict.svg"] = svg_bytes(ax.figure)
    alt = "Odds: " + "; ".join(
        f"{SUBJECTS[c.name].lower()} {chance_words(c.probability_full)}"
        for c in result.best.criteria
    )
    caption = "Odds that each criterion holds."
    if _carburised(result):
        alt += ". " + " ".join(f"{name}: {case.summary()}" for name, case in result.cases[:2])
        caption += (
            " Right: carbon across the section, and below it hardness after the temper (dotted: "
            "straight from the quench) and retained austenite in % (orange); hatched is ground "
            "away, the dashed line counts as hard."
        )
    return figure("verdict.svg", alt, caption)


def _carburised(result):
    return bool(result.cases) and result.best.route == "carburised"


def _why(result):
    """Each criterion with its odds, weakest first, then the losses and what else decides."""
    lives = result.best_route.lives
    said = [life_against_reference(ratio) for ratio in lives]
    names = dict(SUBJECTS)
    if any(ratio.evidence and not ratio.evidence.between_blades_in_se for ratio in lives):
        names["life"] = "Life, the usual spread between blades added"
    for c in sorted(result.best.criteria, key=lambda c: c.probability_full):
        found = c.value.summary() if c.evidence else "no evidence yet"
        said.append(
            f"{names[c.name]}: {found}; wanted is {c.wanted}"
            + (f": {chance_words(c.probability_full)}." if c.evidence else ".")
        )
    losses = result.best.expected_loss_h
    said.append(
        "Expected loss, hours of work: "
        + ", ".join(f"{VERDICTS[a].lower()} {hours:.1f}" for a, hours in losses.items())
        + "."
    )
    quench = result.best_route.quench
    if quench is not None and quench.contradictory:
        said.append(quench.summary())
    return said


def _next(result):
    """What to do next, or that nothing pays; and what a verdict on the lot would take."""
    said = [result.next_words() or "No further test would save more hours than it costs."]
    decides = next((c for c in result.best.criteria if c.name == result.best.decides), None)
    if decides is not None and not result.decided_by_sequence:
        said.append(
            f"What decides most: {SUBJECTS[decides.name].lower()}; to know it for certain would "
            f"save {decides.worth_knowing_h:.1f} h."
        )
    if result.best.scope == "piece" and not result.decided_by_sequence:
        other = next((t for t in result.best.tests if t.code == "another_piece"), None)
        if other is not None:
            said.append(
                f"For a verdict on the lot: {other.title}, {other.hours:g} h of work; expected "
                f"to save {other.saves_h:.1f} h."
            )
    return said


def _doubts(result):
    """The doubts that bear on this steel, where there are any."""
    told = codes_told(result.cases) if _carburised(result) else ()
    found = doubt_lines(result.all_doubts(), said=(*SAID_ANYWAY, *told))
    return [section("In doubt", bullets(found[:MOST_DOUBTS]))] if found else []


def _seen(result):
    """The evidence in the order of the work, a line or two each."""
    evidence, study = result.evidence, result.study
    rows = [(breakable(piece.id), _joined(_piece_facts(piece))) for piece in evidence.pieces]
    for route in result.routes:
        way = "" if route.route == "as it is" else ", carburised"
        if route.quench is not None:
            rows.append((f"Quench{way}", route.quench.summary()))
        if route.hardness is not None:
            rows.append((f"Hardness{way}", f"{route.hardness.hardness.summary()}."))
    if evidence.pack is not None:
        heats = ", ".join(
            f"{as_typed(heat.hours, 'h')} at {as_typed(heat.temperature_c, 'c')}"
            for heat in evidence.pack.heats
        )
        rows.append(("Pack", _joined((evidence.pack.compound, heats))))
    if study.reference is not None:
        known = study.blade(study.reference)
        rows.append(("Reference", _joined((known.id, known.steel))))
    rows.append(("Test", result.protocol.title))
    return rows


def _piece_facts(piece):
    """What is known of a piece before any work on it."""
    return (
        piece.form,
        piece.source,
        f"coating {piece.coating}" if piece.coating else "",
        {True: "magnetic", False: "not magnetic"}.get(piece.magnetic, ""),
        SPARKS.get(piece.sparks or "", ""),
    )


def _joined(parts):
    return "; ".join(part for part in parts if part)


def _limits(result):
    """What a reader might take the page for, and must not."""
    return (
        "Sparks and hardness rank a steel; they do not name it, and nothing here does. "
        "The tool reports observations; it certifies neither a steel nor a knife."
        + (
            ""
            if len(result.best.criteria) < 2
            else " The criteria are taken as independent; whatever their dependence, the odds of "
            f"full use lie between {chance_words(result.best.fit_bounds[0])} and "
            f"{chance_words(result.best.fit_bounds[1])}."
        )
    )


def _foot(result, day):
    """How to make the page again, in one line."""
    photos = [photo.sha256 for photo in result.analysis.photos] if result.analysis else []
    checksum = data_checksum(result.study.folder, photos)
    return (
        f"{program_words()}, {day} · 95 % intervals · an observation of these pieces, no "
        f"certificate · data SHA-256 {checksum[:16]}…"
    )


def _spoken(words, units):
    """Words in the units asked for, no line ending before a unit."""
    return _BLANK.sub("\u00a0", in_units(words, units))
