"""The chopper's sheet: one page for the customer of one tool."""

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
    table,
    text,
)
from edgetest.report.documents.chopper_edge import edge_pictures, source_words
from edgetest.report.documents.chopper_words import (
    beside,
    figure_rows,
    three,
    tool_doubts,
    tool_sentences,
    trial_rows,
)
from edgetest.report.documents.frame import (
    data_checksum,
    front_of,
    program_words,
    settings_for,
    signature_section,
    write_occasion,
)
from edgetest.report.documents.typeset import KINDS
from edgetest.report.figures.chop_figures import plot_balance, plot_chops, plot_depths
from edgetest.report.figures.plot_style import svg_bytes
from edgetest.report.letters import breakable
from edgetest.report.wording import NOT_NOTED, in_units, interval_words

PAGE_IN, SHARED_IN, PLOT_IN, ALONE_IN = 7.2, 4.4, (3.4, 1.5), (3.4, 2.3)
PICTURE_SHARES, NUMBER_SHARES = (1.55, 1.0), (1.55, 1.0)
SAFETY = (
    "An edge guard on it whenever it is not in the cut; eyes covered, a free swing, nobody in its"
    " plane.",
    "Look at tang, handle and edge before use. Stop at a crack: a cracked blade is done.",
)


def build_sheets(result, folder, *, blade=None, kinds=KINDS, paper=None, units=None,
                 timestamp=None):  # fmt: skip
    """Write the sheet of one tool, or of every tool but the control.

    Parameters
    ----------
    result : ChopResult
    folder : path-like
        Made if it is not there.
    blade : str, optional
    kinds, paper, units, timestamp
        As in `edgetest.report.documents.document.build_document`.

    Returns
    -------
    list of Path
        `chopper_BLADE.pdf` and `.html` of each tool.

    Raises
    ------
    UnusableInput
        For an unknown blade, kind, paper or unit, or a log without its study.
    """
    if result.study is None:
        raise UnusableInput(
            "a chop log alone does not say whose tool it is",
            where=result.title,
            mend="make a study of it with `edgetest new --protocol billet_chop`",
        )
    if blade is not None and blade not in result.blades:
        known = ", ".join(result.blades)
        raise UnusableInput(f'"{blade}" was not tested', "blade", f"known: {known}")
    settings = settings_for(result.study, kinds=kinds, paper=paper, units=units)
    made = []
    for name in [blade] if blade is not None else result.subjects:
        made += write_occasion(
            lambda day, name=name: sheet_contents(result, name, settings, day=day),
            folder, "chopper_" + re.sub(r"[^\w-]+", "_", name), settings,
            kinds=kinds, timestamp=timestamp,
        )  # fmt: skip
    return made


def sheet_contents(result, blade, settings, *, day):
    """Contents of one tool's sheet.

    Parameters
    ----------
    result : ChopResult
    blade : str
    settings : Settings
    day : str
        When the sheet was made, as it says it.

    Returns
    -------
    Contents
    """
    study, tested = result.study, result.study.blade(blade)
    front = front_of(study, settings, f"Chopper's sheet, tool {blade}")
    sentences = tool_sentences(result, blade)
    sections = [
        section(None, answer(sentences[0], sentences[1:]), facts(_tool_rows(result, tested))),
        *_pictures_section(result, blade, front.pictures),
        _figures_section(result, blade, front.pictures, settings.units),
        section(None, _last_columns(result, blade, settings)),
        *signature_section(settings),
    ]
    title = tested.title or study.title
    checksums = [photo.sha256 for look in result.looks for photo in look.photos]
    return replace(
        front,
        title=title[:1].upper() + title[1:],
        sections=each_text(sections, lambda words: in_units(words, settings.units)),
        description=" ".join(sentences),
        foot=_foot(data_checksum(study.folder, checksums), result.report.level, day),
        sheet=True,
    )


def _tool_rows(result, tested):
    """What the tool is and how it was tested, a line or two each."""
    study = result.study
    hard = ", ".join(f"{value:g}" for value in tested.hardness_hrc)
    treatment = study.heat_treatment(tested.heat_treatment) if tested.heat_treatment else None
    steel = [tested.steel, treatment.words() if treatment else ""]
    edge = [
        tested.angle_words() or f"angle {NOT_NOTED}",
        tested.edge_finish or f"finish {NOT_NOTED}",
        f"{hard} HRC measured" if hard else "hardness not measured",
    ]
    return [
        ("Steel and heat", "; ".join(breakable(part) for part in steel if part) or NOT_NOTED),
        ("Edge", "; ".join(part for part in edge if part)),
        ("Of this tool", tested.note),
        ("Test", f"{result.protocol.title}. {study.notes}".strip()),
    ]


def _pictures_section(result, blade, pictures):
    """The tool drawn to scale, and beside it the edge before and after."""
    edge = _edge_blocks(result, blade, pictures)
    swing = _balance_blocks(result, blade, pictures, SHARED_IN if edge else PAGE_IN)
    parts = [
        section(heading, *blocks)
        for heading, blocks in (("How it hangs and swings", swing), ("The edge", edge))
        if blocks
    ]
    if len(parts) < 2:
        return parts
    return [section(None, columns(*([part] for part in parts), widths=PICTURE_SHARES))]


def _edge_blocks(result, blade, pictures):
    """The edge before and after as figures, and where the chips were seen."""
    blocks = []
    for number, (caption, jpeg) in enumerate(edge_pictures(result, blade), 1):
        pictures[f"edge_{number}.jpg"] = jpeg
        blocks.append(figure(f"edge_{number}.jpg", f"Side view of the edge. {caption}", caption))
    after = result.look(blade, "after")
    words = source_words(result, after) if blocks and after is not None else ""
    return [*blocks, text(words)] if words else blocks


def _balance_blocks(result, blade, pictures, width_in):
    """The tool drawn to scale with its marks."""
    tool = result.tool(blade)
    if tool is None and blade not in result.handling:
        return []
    pictures["balance.svg"] = svg_bytes(plot_balance(result, blade, width_in=width_in).figure)
    caption = "Drawn to scale. " if blade in result.outlines else "Not to scale. "
    if tool is not None:
        caption += (
            "Strike at the percussion centre (bar: where it may lie), and the hand feels no kick."
        )
    if tool is not None and tool.predicted is not None:
        value = interval_words(*three(tool.predicted.flat.frequency_hz))[0]
        caption += f" Below: its bending as it rings, {value} Hz; the nodes stay still."
    alt = f"The tool from the side with grip, balance point, percussion centre. {caption}"
    return [figure("balance.svg", alt, caption)]


def _figures_section(result, blade, pictures, units):
    """The figures with plain words, beside the two plots."""
    plots = []
    shown = beside(result, blade)
    if result.pieces:
        alone = result.report.depths is None  # else the legend of the other plot serves both
        plot = plot_chops(
            result, blades=shown, size_in=ALONE_IN if alone else PLOT_IN, legend=alone
        )
        pictures["chops.svg"] = svg_bytes(plot.figure)
        alt = "Chops per 100 cm² of each severed piece, board by board, blade by blade."
        plots.append(figure("chops.svg", alt, None))
    if result.report.depths is not None:
        pictures["depths.svg"] = svg_bytes(
            plot_depths(result, blades=shown, size_in=PLOT_IN).figure
        )
        alt = "Depth of single chops against the chops made before, with a line for each blade."
        plots.append(figure("depths.svg", alt, None))
    level = f"{100 * result.report.level:g} % interval"
    heads = [("Figure", "left", 1.0), ("Value", "right", "auto"), (level, "right", "auto")]
    rows = figure_rows(result, blade, units)
    tool = result.tool(blade)
    blow = f"Standard blow, assumed: {tool.blow.swing.assumptions()}." if tool else ""
    more = [text(blow)] if blow else []
    numbers = (
        section("In numbers", table(heads, rows, close=True), *more) if rows else section(None)
    )
    if not plots:
        return numbers
    return section(None, columns([numbers], [section(None, *plots)], widths=NUMBER_SHARES))


def _last_columns(result, blade, settings):
    """Trials, what was not tested, care: side by side."""
    rows = trial_rows(result, blade)
    limit = next((row["text"] for row in result.limit if row["blade"] == blade), "")
    rows.append(("Protocol's limit", limit))
    left = [section("Tried", facts(rows, narrow=True))] if any(w for _, w in rows) else []
    not_done = ", ".join(result.report.not_tested)
    left.append(
        section(
            "Not tested",
            text(
                (f"{not_done[:1].upper()}{not_done[1:]}; " if not_done else "")
                + "nor other or frozen wood, levering, throwing. One tool was tested, not its kind."
            ),
        )
    )
    cautions = [*SAFETY, *settings.care, *([settings.note] if settings.note else [])]
    right = [section("Care and cautions", bullets(cautions))]
    doubts = tool_doubts(result, blade)
    right += [section("To bear in mind", bullets(doubts))] if doubts else []
    return columns(left, right, widths=[1.15, 1.0])


def _foot(checksum, level, day):
    """How it was computed, in the foot of the page."""
    return (
        f"{program_words()}, {day} · intervals {100 * level:g} % · an observation of this tool, no"
        f" certificate · data SHA-256 {checksum[:16]}…"
    )
