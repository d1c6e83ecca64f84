"""The chopper's sheet: one page for the customer of one tool."""

import datetime
import re
from dataclasses import replace
from math import isfinite

import cv2

from edgetest.errors import UnusableInput
from edgetest.report.blocks import (
    Contents,
    answer,
    bullets,
    columns,
    facts,
    figure,
    section,
    table,
    text,
)
from edgetest.report.chop_figures import plot_balance, plot_chops, plot_depths
from edgetest.report.frame import (
    INVENTED,
    data_checksum,
    mark_of,
    program_words,
    settings_of,
    signature_section,
)
from edgetest.report.letters import breakable
from edgetest.report.look import svg_bytes
from edgetest.report.overlay import draw_overlay
from edgetest.report.typeset import KINDS, check_wishes, write_document
from edgetest.report.wording import UNIT_CHOICES, angle_words, in_units, interval_words

PHOTO_PX, PHOTO_TALL = 1100, 0.25
MARGIN_UM, MOST_UM = 1800.0, 16_000.0  # of edge shown about the damage, and at most
PAGE_IN, SHARED_IN, PLOT_IN = 7.2, 4.4, (3.4, 1.5)
FIGURE_WORDS = {
    "mass_g": "mass",
    "balance_mm": "balance from the butt",
    "inertia_balance_kg_cm2": "inertia about the balance point",
    "inertia_grip_kg_cm2": "inertia about the grip",
    "percussion_mm": "percussion centre from the butt",
    "effective_mass_free_g": "mass behind the blow, flying free",
    "effective_mass_gripped_g": "mass behind the blow, turning about the grip",
}
OTHER_UNITS = {"mm": (1 / 25.4, "in"), "g": (1 / 28.3495, "oz")}
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
        As in `edgetest.report.document.build_document`.

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
    settings = settings_of(result.study)
    wishes = {"paper": paper, "units": units}
    settings = settings.model_copy(update={k: v for k, v in wishes.items() if v is not None})
    check_wishes(kinds, settings.paper)
    if settings.units not in UNIT_CHOICES:
        known = ", ".join(UNIT_CHOICES)
        raise UnusableInput(f'"{settings.units}" is not known', "units", f"choose {known}")
    timestamp = timestamp or datetime.datetime.now(datetime.UTC).replace(microsecond=0)
    made = []
    for name in [blade] if blade is not None else result.subjects:
        contents = sheet_contents(result, name, settings, day=timestamp.date().isoformat())
        made += write_document(
            contents,
            folder,
            "chopper_" + re.sub(r"[^\w-]+", "_", name),
            kinds=kinds,
            paper=settings.paper,
            timestamp=timestamp,
        )
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
    mark, mark_bytes = mark_of(settings, study.folder)
    pictures = {mark["file"]: mark_bytes} if mark else {}
    sentences = answer_sentences(result, blade)
    sections = [
        section(None, answer(sentences[0], sentences[1:]), facts(_tool_rows(result, tested))),
        *_pictures_section(result, blade, pictures),
        _figures_section(result, blade, pictures, settings.units),
        section(None, _last_columns(result, blade, settings)),
        *signature_section(settings),
    ]
    title = tested.title or study.title
    checksums = [photo.sha256 for look in result.looks for photo in look.photos]
    return Contents(
        title=title[:1].upper() + title[1:],
        subtitle=_subtitle(study, blade, settings),
        maker=study.maker,
        sections=[_in_units(each, settings.units) for each in sections],
        pictures=pictures,
        description=" ".join(sentences),
        foot=_foot(data_checksum(study.folder, checksums), result.report.level, day),
        label=INVENTED if study.invented else None,
        mark=mark,
        author=study.maker or study.tested_by,
        program=program_words(),
        sheet=True,
    )


def answer_sentences(result, blade):
    """What a customer is told first: strokes, against what, the edge, the trials."""
    rates = {one.blade: one for one in result.report.counts.blades} if result.report.counts else {}
    said = []
    if blade in rates:
        said += _count_sentences(result, blade, rates[blade])
    elif depth := _line(result, blade):
        value, interval = interval_words(*_three(depth.fresh_mm))
        said.append(f"One chop with the fresh edge goes {value} mm deep ({interval}).")
    said += _edge_sentences(result, blade)
    if not said and result.tool(blade) is not None:
        one = result.tool(blade).balance.percussion_mm
        value, interval = interval_words(*_three(one))
        said.append(f"It strikes without kick at {value} mm from the butt ({interval}).")
    return said or ["It has not been chopped with."]


def _count_sentences(result, blade, rate):
    value, interval = interval_words(*_three(rate.chops_per_100_cm2))
    wood = _short_wood(result.report.counts.reference_wood)
    yield f"{value} strokes take it through 100 cm² of {wood} ({interval})."
    mine = [piece for piece in result.pieces if piece.blade == blade]
    woods = dict.fromkeys(piece.wood.name.split(",")[0] for piece in mine if piece.wood)
    missed = [piece.near_misses for piece in mine]
    tail = f", {sum(missed)} near misses among them" if None not in missed else ""
    size = _size_words(mine)
    count = f"{rate.billets} piece{'s' if rate.billets > 1 else ''}"
    of = f" of {' and '.join(woods)}" if woods else ""
    single = " A single run: how far pieces differ is assumed." if rate.billets == 1 else ""
    yield f"Counted: {rate.chops} strokes through {count}{of}{size}{tail}.{single}"
    for ratio in result.report.counts.ratios:
        if blade in (ratio.first, ratio.second):
            yield _ratio_sentence(result, blade, ratio)


def _size_words(pieces):
    """The pieces' cross-section, and what 100 cm² are, where all are alike."""
    sizes = {round(piece.area_cm2) for piece in pieces}
    alike = f", {sizes.pop()} cm² each" if len(sizes) == 1 else ""
    return f"{alike} (100 cm² is a post of 10 by 10 cm)"


def _ratio_sentence(result, blade, ratio):
    """Strokes against the other tool, in per cent."""
    value, low, high = _three(ratio.ratio)
    other = ratio.second
    if blade == ratio.second:
        value, low, high, other = 1 / value, 1 / high, 1 / low, ratio.first
    shown, interval = interval_words(100 * value, 100 * low, 100 * high)
    turns = " in turn on the same boards" if result.design == "in_turn" else ""
    verdict = "" if low > 1 or high < 1 else "; the two cannot be told apart"
    return (
        f"That is {shown} % of the strokes that {_title(result, other)} took{turns}"
        f" ({interval} %){verdict}."
    )


def _edge_sentences(result, blade):
    """New chips and rolls, with the bound that none seen leaves."""
    new = {one.kind: one for one in result.growth if one.blade == blade}
    if "chips" not in new:
        return
    chips, rolls = new["chips"], new.get("rolls")
    bound = next(
        (
            row.per_100_mm.high
            for when, one in result.report.damage
            if (when, one.kind) == ("during", "chips")
            for row in one.blades
            if row.blade == blade
        ),
        None,
    )
    what = _counted(chips.new, "new chip")
    if rolls is not None:
        what += f" and {_counted(rolls.new, 'new roll')}"
    by_eye = result.look(blade, "after").source == "log"
    seen = not chips.new and bound
    tail = f" Seeing no chip there still allows {bound:.2g} per 100 mm." if seen else ""
    yield (
        f"After {chips.chops} chops: {what} on {chips.edge_length_mm:.0f} mm of edge"
        f"{' (counted by eye)' if by_eye else ''}.{tail}"
    )


def _counted(number, word):
    """How many, in words."""
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"


def _tool_rows(result, tested):
    """What the tool is and how it was tested, a line or two each."""
    study = result.study
    hard = ", ".join(f"{value:g}" for value in tested.hardness_hrc)
    treatment = study.heat_treatment(tested.heat_treatment) if tested.heat_treatment else None
    steel = [tested.steel, treatment.words() if treatment else ""]
    edge = [
        angle_words(tested.included_angle_deg),
        tested.edge_finish,
        f"{hard} HRC measured" if hard else "hardness not measured",
    ]
    return [
        ("Steel and heat", "; ".join(breakable(part) for part in steel if part)),
        ("Edge", "; ".join(part for part in edge if part)),
        ("Of this tool", tested.note),
        ("Test", f"{result.protocol.title}. {study.notes}".strip()),
    ]


def _pictures_section(result, blade, pictures):
    """The tool drawn to scale, and beside it the edge before and after."""
    swing = _balance_blocks(result, blade, pictures)
    edge = _edge_blocks(result, blade, pictures)
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
    words = _source_words(result, after) if blocks and after is not None else ""
    return [*blocks, text(words)] if words else blocks


def edge_pictures(result, blade):
    """One stretch of the edge before and after, what was found marked on it.

    Returns
    -------
    list of (str, bytes)
        Caption and JPEG, of the stretch that shows most damage afterwards.
    """
    looks = [result.look(blade, when) for when in ("before", "after")]
    shots = [look for look in looks if look is not None and look.photos]
    if not shots:
        return []
    place = _telling(shots[-1])
    stretch = _stretch(shots[-1].photos[place])
    shown = []
    for look in shots:
        if place < len(look.photos):
            photo = look.photos[place]
            when = "Before the test" if look.when == "before" else f"After {look.chops} chops"
            shown.append((f"{when}: {_found_words(photo)}", _edge_jpeg(photo, stretch)))
    return shown


def look_rows(result, blade):
    """Every look at a tool's edge: what the eye counted, what the photographs show, which is used.

    Returns
    -------
    list of dict
    """
    return [
        {
            "when": look.when,
            "chops": look.chops,
            "chips by eye": look.counted["chips"],
            "rolls by eye": look.counted["rolls"],
            "photographs": len(look.measured) or None,
            "chips in photographs": len(look.seen("chips")) if look.measured else None,
            "rolls in photographs": len(look.seen("rolls")) if look.measured else None,
            "deepest chip, µm": round(max((x["depth_um"] for x in look.seen("chips")), default=0))
            or None,
            "used": look.source or "neither",
        }
        for look in result.looks
        if look.blade == blade
    ]


def _telling(look):
    """Which of a look's pictures shows most damage."""

    def depth(photo):
        return sum(each["depth_um"] for kind in ("chips", "rolls") for each in photo.numbers[kind])

    return max(range(len(look.photos)), key=lambda k: depth(look.photos[k]))


def _found_words(photo):
    """What was found on one side view."""
    if not photo.measured:
        return "not measured. " + " ".join(reason["text"] for reason in photo.numbers["reasons"])
    parts = []
    for kind, word in (("chips", "chip"), ("rolls", "roll")):
        found = photo.numbers[kind]
        if found:
            deepest = max(found, key=lambda each: each["depth_um"])
            size, long = deepest["depth_um"] / 1000, deepest["length_um"] / 1000
            plural = "" if len(found) == 1 else "s, the deepest"
            parts.append(f"{len(found)} {word}{plural} {size:.2f} mm deep and {long:.1f} mm long")
    length = photo.numbers["edge_length_um"] / 1000
    return f"{'; '.join(parts) or 'no chip, no roll'}, on {length:.0f} mm of edge."


def _source_words(result, look):
    """Where the chips were seen, which source is used, and how many are older than the test."""
    if look.counted["chips"] is None or not look.measured:
        return ""
    seen, eye = len(look.seen("chips")), look.counted["chips"]
    used = "photographs count" if look.source == "photographs" else "count by eye counts"
    photos = f"{len(look.measured)} photograph{'s' if len(look.measured) > 1 else ''}"
    words = f"Afterwards {_counted(seen, 'chip')} in {photos}, {eye} by eye; the {used} here."
    chips = next((x for x in result.growth if (x.blade, x.kind) == (look.blade, "chips")), None)
    if chips is not None and chips.old:
        was = "was" if chips.old == 1 else "were"
        words += f" {chips.old} of them {was} there before the test."
    return words


def _stretch(photo):
    """From where to where along the edge the damage lies, µm; None for all of the picture."""
    found = [*photo.numbers["chips"], *photo.numbers["rolls"]]
    if not photo.measured or not found:
        return None
    first = min(each["position_um"] for each in found) - MARGIN_UM
    last = max(each["position_um"] for each in found) + MARGIN_UM
    if last - first > MOST_UM:
        deepest = max(found, key=lambda each: each["depth_um"])["position_um"]
        first, last = deepest - MOST_UM / 2, deepest + MOST_UM / 2
    return first, last


def _edge_jpeg(photo, stretch):
    """A side view, or a stretch of it, with what was measured on it, as JPEG."""
    from edgetest.images import read_picture

    picture, measured = read_picture(photo.path), photo.measurement
    scale = (photo.numbers.get("scale") or {}).get("um_per_px")
    window = None
    if stretch is not None and photo.measured:
        window = _window(measured, stretch, picture.grey.shape)
        measured = replace(
            measured,
            chips=_within(measured.chips, stretch),
            rolls=_within(measured.rolls, stretch),
        )
    drawn = draw_overlay(
        picture, measured, um_per_px=scale, crop=True, tall=PHOTO_TALL, window=window,
        width_px=PHOTO_PX, sentence="", size=1.9,
    )  # fmt: skip
    return cv2.imencode(".jpg", drawn[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 85])[1].tobytes()


def _within(found, stretch):
    """Damage of the stretch that is shown."""
    return tuple(one for one in found if stretch[0] <= one.position_um <= stretch[1])


def _window(measured, stretch, shape):
    """Rows and columns of the picture about a stretch of its edge."""
    inside = (measured.position_um >= stretch[0]) & (measured.position_um <= stretch[1])
    path = measured.reference_rc[inside] if inside.any() else measured.reference_rc
    (top, left), (bottom, right) = path.min(axis=0), path.max(axis=0)
    wide, high = max(right - left, 1), max(bottom - top, 1)
    half_r = max(high, PHOTO_TALL * wide) / 2 + 0.03 * wide
    half_c = max(wide, PHOTO_TALL * high) / 2
    row, column = (top + bottom) / 2, (left + right) / 2
    return (
        max(0, int(row - half_r)),
        max(0, int(column - half_c)),
        min(shape[0], int(row + half_r) + 1),
        min(shape[1], int(column + half_c) + 1),
    )


def _balance_blocks(result, blade, pictures):
    """The tool drawn to scale with its marks."""
    tool = result.tool(blade)
    if tool is None and blade not in result.handling:
        return []
    beside = any(look.photos for look in result.looks if look.blade == blade)
    width = SHARED_IN if beside else PAGE_IN
    pictures["balance.svg"] = svg_bytes(plot_balance(result, blade, width_in=width).figure)
    caption = "Drawn to scale. " if blade in result.outlines else "Not to scale. "
    if tool is not None:
        caption += (
            "Strike at the percussion centre (bar: where it may lie), and the hand feels no kick."
        )
    if tool is not None and tool.predicted is not None:
        value = interval_words(*_three(tool.predicted.flat.frequency_hz))[0]
        caption += f" Below: its bending as it rings, {value} Hz; the nodes stay still."
    alt = f"The tool from the side with grip, balance point, percussion centre. {caption}"
    return [figure("balance.svg", alt, caption)]


def _figures_section(result, blade, pictures, units):
    """The figures with plain words, beside the two plots."""
    plots = []
    if result.pieces:
        alone = result.report.depths is None  # else the legend of the other plot serves both
        plot = plot_chops(result, size_in=PLOT_IN, legend=alone)
        pictures["chops.svg"] = svg_bytes(plot.figure)
        alt = "Chops per 100 cm² of each severed piece, board by board, blade by blade."
        plots.append(figure("chops.svg", alt, None))
    if result.report.depths is not None:
        pictures["depths.svg"] = svg_bytes(plot_depths(result, size_in=PLOT_IN).figure)
        alt = "Depth of single chops against the chops made before, with a line for each blade."
        plots.append(figure("depths.svg", alt, None))
    level = f"{100 * result.report.level:g} % interval"
    heads = [("Figure", "left", 1.0), ("Value", "right", "auto"), (level, "right", "auto")]
    rows = figure_rows(result, blade, units)
    numbers = section("In numbers", table(heads, rows, close=True)) if rows else section(None)
    if not plots:
        return numbers
    return section(None, columns([numbers], [section(None, *plots)], widths=NUMBER_SHARES))


def figure_rows(result, blade, units="metric"):
    """Name, value and interval of every figure of one tool, as the sheet prints them."""
    report, line, tool = result.report, _line(result, blade), result.tool(blade)
    rows = []
    for rate in report.counts.blades if report.counts else ():
        if rate.blade == blade:
            rows.append(("Chops per 100 cm², over the test", rate.chops_per_100_cm2, ""))
            rows.append(("… with the fresh edge", rate.fresh_chops_per_100_cm2, ""))
    if blade in report.near_misses:
        rows.append(("Strokes that missed the cut", report.near_misses[blade], "share"))
    if line is not None:
        rows.append(("Depth of one chop, fresh edge", line.fresh_mm, "mm"))
        rows.append(("… lost in 100 chops", line.loss_pct_per_100_chops, "%"))
    for when, damage in report.damage:
        for each in damage.blades:
            if when == "during" and each.blade == blade:
                rows.append((f"New {damage.kind} per 100 mm of edge", each.per_100_mm, ""))
    rows += _tool_figures(tool) if tool is not None else []
    return [[words, *_shown(one, unit, units)] for words, one, unit in rows if one is not None]


def _tool_figures(tool):
    """Swing of one tool, measured where it was, with what was predicted where both are."""
    balance = tool.balance
    ahead = balance.balance_from_handle_mm
    place = ("Balance ahead of the handle", ahead, "mm")
    if ahead is None:
        place = ("Balance from the butt", balance.balance_mm, "mm")
    inertia = [
        ("Inertia about the grip: how it resists the swing", balance.inertia_grip_kg_cm2, "kg cm²")
    ]
    if tool.compared is not None:
        predicted = tool.predicted.balance.inertia_grip_kg_cm2
        inertia.append(("… predicted from its shape", predicted, "kg cm²"))
    return [
        ("Mass", balance.mass_g, "g"),
        place,
        ("Percussion centre from the butt: no kick there", balance.percussion_mm, "mm"),
        ("Mass behind the blow, as the wood feels it", balance.effective_mass_free_g, "g"),
        *inertia,
        ("Energy of a standard blow (assumed swing)", tool.blow.energy_j, "J"),
        ("Depth for each joule", tool.depth_per_joule, "mm"),
    ]


def _shown(one, unit, units):
    """Value with its unit, and interval, in the units asked for."""
    numbers = _three(one)
    if unit == "share":
        numbers, unit = tuple(100 * number for number in numbers), "%"
    ways = [(1.0, unit)]
    if unit in OTHER_UNITS and units != "metric":
        ways = [OTHER_UNITS[unit]] if units == "inch" else [*ways, OTHER_UNITS[unit]]
    said = []
    for factor, name in ways:
        value, low, high = (factor * number for number in numbers)
        words, interval = interval_words(value, low, high)
        if value == low == 0 and isfinite(high):
            words, interval = "0", f"under {high:.2g}"
        said.append((f"{words} {name}".strip(), interval))
    return [" / ".join(parts) for parts in zip(*said, strict=True)]


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
    return columns(left, [section("Care and cautions", bullets(cautions))], widths=[1.15, 1.0])


def side_by_side_rows(compared):
    """Two balances figure by figure, in words: of each its value, and the difference.

    Returns
    -------
    list of dict
    """
    rows = []
    for row in compared.rows:
        value, interval = interval_words(row["difference"], row["low"], row["high"])
        digits = len(value.partition(".")[2])
        rows.append(
            {
                "figure": FIGURE_WORDS[row["figure"]],
                compared.first: f"{row['first']:.{digits}f} {row['unit']}",
                compared.second: f"{row['second']:.{digits}f} {row['unit']}",
                "difference": value,
                "interval": interval,
                "told apart": "no" if row["agree"] else "yes",
            }
        )
    return rows


def trial_rows(result, blade):
    """Trials of a tool and how they ended, as (what, how)."""
    mine = [one for one in result.report.trials if one.trial.blade == blade]
    return [(one.title[:1].upper() + one.title[1:], _trial_words(one)) for one in mine]


def _trial_words(one):
    """Passed of tried, and what was done."""
    trial = one.trial
    count = (
        "passed"
        if trial.passed == trial.tried == 1
        else (
            "failed"
            if trial.passed == 0 and trial.tried == 1
            else f"passed {trial.passed} of {trial.tried}"
        )
    )
    return f"{count}: {trial.note}" if trial.note else count


def _subtitle(study, blade, settings):
    parts = [
        f"Chopper's sheet, tool {blade}",
        f"tested by {study.tested_by}" if study.tested_by else "",
        study.date,
        f"for {settings.customer}" if settings.customer else "",
    ]
    return " · ".join(part for part in parts if part)


def _foot(checksum, level, day):
    """How it was computed, in the foot of the page."""
    return (
        f"{program_words()}, {day} · intervals {100 * level:g} % · an observation of this tool, no"
        f" certificate · data SHA-256 {checksum[:16]}…"
    )


def _in_units(part, units):
    """Every sentence of a section in the units asked for."""
    if units == "metric":
        return part
    if isinstance(part, str):
        return in_units(part, units)
    if isinstance(part, list):
        return [_in_units(each, units) for each in part]
    if isinstance(part, dict):
        kept = ("kind", "file", "align", "width", "widths")
        kept += ("rows",) if part.get("kind") == "table" else ()  # in their units already
        return {k: v if k in kept else _in_units(v, units) for k, v in part.items()}
    return part


def _line(result, blade):
    """A blade's depth line, or None."""
    lines = result.report.depths.blades if result.report.depths else ()
    return next((line for line in lines if line.name == blade), None)


def _title(result, blade):
    """What a blade is called in a sentence."""
    return result.study.blade(blade).title or f"blade {blade}"


def _short_wood(words):
    """The reference wood without its figures: "coast Douglas-fir at 12 % moisture"."""
    return words.partition(" (")[0]


def _three(one):
    return one.value, one.low, one.high
