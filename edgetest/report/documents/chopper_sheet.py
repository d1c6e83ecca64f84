"""The chopper's sheet: page one for the customer of one tool, every row of the test behind it."""

import re
from dataclasses import replace

from edgetest.chop.as_chopped import SAME_SIZE
from edgetest.errors import UnusableInput
from edgetest.report.documents.blocks import (
    answer,
    bullets,
    columns,
    facts,
    figure,
    section,
    table,
    text,
)
from edgetest.report.documents.chopped_pieces import pieces_table
from edgetest.report.documents.chopped_rows import beside_sections, log_section
from edgetest.report.documents.chopper_edge import edge_pictures, source_words
from edgetest.report.documents.chopper_last_columns import last_columns
from edgetest.report.documents.chopper_numbers import (
    OF_THE_SWING,
    figure_heads,
    figure_rows,
    numbers_beside,
    numbers_section,
    strike_words,
    three,
)
from edgetest.report.documents.chopper_photographs import photograph_sections
from edgetest.report.documents.chopper_ratio import first_words_of
from edgetest.report.documents.chopper_words import first_doubts, tool_sentences
from edgetest.report.documents.departures_section import departures_in_lines
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.documents.frame import (
    data_checksum,
    front_of,
    program_words,
    settings_for,
    signature_section,
    write_occasion,
)
from edgetest.report.documents.kinds_compared import treatments_section
from edgetest.report.documents.strokes_method import people_told, strokes_method_words
from edgetest.report.documents.tool_facts import tool_rows
from edgetest.report.documents.tools_beside import beside
from edgetest.report.documents.typeset import KINDS
from edgetest.report.figures.chop_figures import plot_balance, plot_chops, plot_depths
from edgetest.report.figures.plot_style import NARROW_IN
from edgetest.report.tool_drawn import drawn_to_scale
from edgetest.report.units_told import text_in_units
from edgetest.report.wording import in_units, interval_words
from edgetest.store.protocol import describe
from edgetest.study.chop.chop_departures import chop_departures, chops_looked_at
from edgetest.study.chop.headline_wood import main_figure
from edgetest.study.words import counted

EVEN = (
    "Pieces took more nearly the same number of strokes than pure luck would give: even wood and"
    " even blows."
)
PAGE_IN, SHARED_IN, ALONE_IN = 7.2, 4.2, (3.4, 1.9)
PICTURE_SHARES, NUMBER_SHARES, DEPARTED_SHARES = (1.55, 1.0), (1.55, 1.0), (1.0, 1.35)


def build_sheets(result, folder, *, blade=None, kinds=KINDS, paper=None, units=None,
                 timestamp=None, progress=None):  # fmt: skip
    """Write the sheet of one tool, or of every tool but the control and that held against.

    Parameters
    ----------
    result : ChopResult
    folder : path-like
        Made if it is not there.
    blade : str, optional
    kinds, paper, units, timestamp, progress
        As in `edgetest.report.documents.document.build_document`.

    Returns
    -------
    list of Path
        `chopper_BLADE.pdf` and `.html` of each tool.

    Raises
    ------
    UnusableInput
        For an unknown blade, kind, paper or unit, a blade beside itself, or no study of the log.
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
    if blade is not None and blade == result.against:
        others = ", ".join(name for name in result.blades if name != blade)
        mend = f"name another of the study: {others or 'it has none'}"
        raise UnusableInput(f'"{blade}" would stand beside itself', "against", mend)
    settings = settings_for(result.study, kinds=kinds, paper=paper, units=units)
    made = []
    for name in [blade] if blade is not None else result.subjects:
        made += write_occasion(
            lambda day, name=name: sheet_contents(result, name, settings, day=day),
            folder, _file_names(result.blades)[name], settings,
            kinds=kinds, timestamp=timestamp, progress=progress,
        )  # fmt: skip
    return made


def _file_names(blades):
    """A name for each tool's files, also where two ids differ in letters no file name can hold.

    Upper and lower case count as one, for some disks hold them to be one.
    """
    names, taken = {}, set()
    for blade in blades:
        stem = name = "chopper_" + re.sub(r"[^\w-]+", "_", blade)
        number = 1
        while name.casefold() in taken:
            number += 1
            name = f"{stem}_{number}"
        taken.add(name.casefold())
        names[blade] = name
    return names


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
    units = settings.units
    sentences = tool_sentences(result, blade, units)
    first = [answer(sentences[0], sentences[1:]), facts(tool_rows(result, tested, units))]
    if main_figure(result, blade) is not None:
        first.append(pieces_table(result, blade, units))
    sections = [
        section(None, *first),
        *_pictures_section(result, blade, front.pictures, units),
        _figures_section(result, blade, front.pictures, units),
        section(None, last_columns(result, blade, settings)),
        *signature_section(settings),
    ]
    title = tested.title or study.title
    checksums = [photo.sha256 for look in result.looks for photo in look.photos]
    return replace(
        front,
        title=title[:1].upper() + title[1:],
        sections=sections,
        annex=[
            *log_section(result, blade, units),
            *photograph_sections(result, blade, settings, front.pictures),
            *_more_numbers(result, blade, front.pictures, units),
            *treatments_section(result, blade),
            *_method_section(result, blade, units),
            *beside_sections(result, blade, units),
        ],
        description=" ".join(sentences),
        foot=_foot(data_checksum(study.folder, checksums), result.report.level, day),
        sheet=True,
    )


def _even_words(result, blade):
    """That pieces were more alike than by luck, and whether its ratio is narrower for it."""
    found = " ".join(one.text for one in result.doubts if one.code == "underdispersed")
    if not found:
        return []
    own = [each for each in result.report.counts.ratios if blade in (each.first, each.second)]
    if any(f"{each.first} over {each.second} " in found for each in own):
        return [f"{EVEN} The interval of its ratio is narrower for it."]
    return [f"{EVEN} That alone would make the intervals narrower."]


def _method_section(result, blade, units):
    """How the figures came about, and what else to bear in mind."""
    level = f"{100 * result.report.level:g} %"
    words = []
    if main_figure(result, blade) is not None:
        boards = {piece.board for piece in result.pieces if piece.blade == blade} - {""}
        here = f" ({counted(len(boards), 'board')} here)" if boards else ""
        words.append(
            f"Strokes for a piece: {strokes_method_words(result, blade)}; each interval"
            f" holds the mean of pieces like these from boards like these in {level} of such"
            f" tests{here}. Pieces up to {100 * (SAME_SIZE - 1):.0f} % larger than the smallest of"
            f" their row are one size, for every tool.{people_told(result, blade, units)}"
            f"{first_words_of(result, blade)}"
        )
        dulls = result.report.counts.dulling_words()
        words += [f"{dulls[:1].upper()}{dulls[1:]}{result.tired_words()}."] if dulls else []
        words += _even_words(result, blade)
    if result.tool(blade) is not None:
        words.append(
            "Swing: the balance and a pendulum's time give mass, balance, inertia and percussion"
            " centre; the shape predicts the same where it is known."
        )
    words += [
        f"Tried on paper, nothing was ground: {in_units(change.summary(), units)}."
        for change in result.changes
        if change.blade == blade
    ]
    asked = f"The protocol “{result.protocol.title}” asks for: {describe(result.protocol)}"
    doubts = first_doubts(result, blade)[1]
    words.append(asked)
    parts = [section("Method", *(text(one) for one in words))]
    return parts + ([section("Also to bear in mind", bullets(doubts))] if doubts else [])


def _pictures_section(result, blade, pictures, units):
    """The tool drawn to scale, and beside it the edge before and after."""
    edge = _edge_blocks(result, blade, pictures, units)
    wide = SHARED_IN if edge else PAGE_IN
    swing = _balance_blocks(result, blade, pictures, wide, units)
    if not swing and len(edge) > 1 and edge[1]["kind"] == edge[0]["kind"]:
        edge = [columns(*([section(None, one)] for one in edge[:2])), *edge[2:]]
    parts = [
        section(heading, *blocks)
        for heading, blocks in (("How it hangs and swings", swing), ("The edge", edge))
        if blocks
    ]
    if len(parts) < 2:
        return parts
    return [section(None, columns(*([part] for part in parts), widths=PICTURE_SHARES))]


def _edge_blocks(result, blade, pictures, units):
    """The edge before and after as figures, and where the chips were seen."""
    blocks = []
    for number, (caption, jpeg) in enumerate(edge_pictures(result, blade), 1):
        pictures[f"edge_{number}.jpg"] = jpeg
        caption = in_units(caption, units)
        blocks.append(figure(f"edge_{number}.jpg", f"Side view of the edge. {caption}", caption))
    after = result.look(blade, "after")
    words = source_words(result, after) if blocks and after is not None else ""
    return [*blocks, text(words)] if words else blocks


def _balance_blocks(result, blade, pictures, width_in, units):
    """The tool drawn to scale with its marks."""
    tool = result.tool(blade)
    if tool is None and blade not in result.handling:
        return []
    put_figure(
        pictures, "balance.svg", plot_balance(result, blade, width_in=width_in, units=units).figure,
        narrow=lambda: plot_balance(result, blade, width_in=NARROW_IN, units=units).figure,
    )  # fmt: skip
    caption = f"{drawn_to_scale(result.outlines.get(blade))} "
    caption += in_units(strike_words(tool.balance), units) if tool is not None else ""
    if tool is not None and tool.predicted is not None and tool.predicted.flat is None:
        caption += " How it rings is not told: its steel is no slender blade."
    elif tool is not None and tool.predicted is not None:
        flat = tool.predicted.flat
        value = interval_words(*three(flat.frequency_hz))[0]
        caption += (
            f" Below: its bending as it rings, {value} Hz; the nodes stay still{flat.left_out()}."
        )
    alt = f"The tool from the side with grip, balance point, percussion centre. {caption}"
    return [figure("balance.svg", alt, caption)]


def _figures_section(result, blade, pictures, units):
    """The figures with plain words, beside the two plots."""
    plots = []
    shown = beside(result, blade)
    if result.pieces:
        put_figure(pictures, "chops.svg", plot_chops(result, blades=shown, size_in=ALONE_IN).figure)
        alt = "Strokes for each severed piece, board by board, blade by blade."
        plots.append(figure("chops.svg", alt, None))
    elif result.report.depths is not None:
        plots.append(_depths(result, blade, pictures))
    numbers = numbers_section(result, shown, units)
    if not plots:
        return numbers
    return section(None, columns([numbers], [section(None, *plots)], widths=NUMBER_SHARES))


def _depths(result, blade, pictures):
    """Depth of single chops as a figure."""
    plot = plot_depths(result, blades=beside(result, blade), size_in=ALONE_IN)
    put_figure(pictures, "depths.svg", plot.figure)
    alt = "Depth of single chops against the chops made before, with a line for each blade."
    return figure("depths.svg", alt, None, width=0.5)


def _more_numbers(result, blade, pictures, units):
    """Depths, and figures of the swing that most customers can do without."""
    found, swung = [], []
    if result.pieces and result.report.depths is not None:
        found.append(section(None, _depths(result, blade, pictures)))
    if units == "both":
        found += numbers_beside(result, beside(result, blade)[1:], units)
    rows = [row for row in figure_rows(result, blade, units) if row[0] in OF_THE_SWING]
    if rows:
        assumed = text_in_units(result.tool(blade).blow.swing.assumptions(), units)
        blow = f"Standard blow, assumed: {assumed}."
        swing = table(figure_heads(result), rows, close=True)
        swung = [section("The swing in numbers", swing, text(blow))]
    if result.protocol.log == "chops":
        shown = beside(result, blade)
        departed = chop_departures(result.study, result.protocol, result.log, only=shown)
        looked = chops_looked_at(result.study, result.protocol)
        held = departures_in_lines(looked, departed, units)
        if not swung or units == "both":  # half a page has no room for two units in each cell
            return [*found, *swung, held]
        return [*found, section(None, columns(swung, [held], widths=DEPARTED_SHARES))]
    return [*found, *swung]


def _foot(checksum, level, day):
    """How it was computed, in the foot of the page."""
    return (
        f"{program_words()}, {day} · intervals {100 * level:g} % · an observation of this tool, no"
        f" certificate · data SHA-256 {checksum[:16]}…"
    )
