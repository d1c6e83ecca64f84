"""What the document of a comparison says: heat treatments side by side, and how sure."""

from dataclasses import replace

from edgetest.report.documents.beside_lives import beside_lives_sections
from edgetest.report.documents.blocks import (
    answer,
    figure,
    section,
    table,
)
from edgetest.report.documents.departures_section import departures_section
from edgetest.report.documents.doubt_sections import (
    asked_section,
    both_answers,
    doubt_section,
    limits_section,
    notes_section,
    parted_answer,
)
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.documents.frame import (
    care_section,
    data_checksum,
    front_of,
    made_section,
    signature_section,
)
from edgetest.report.documents.left_out_sections import left_out_sections
from edgetest.report.documents.lives_pictures import (
    TALLEST_IN,
    answer_picture,
    blade_pictures,
    life_of,
)
from edgetest.report.documents.lives_section import left_out_rows, lives_section, treatment_head
from edgetest.report.documents.photo_pages import photo_sections
from edgetest.report.documents.photo_table import photo_table
from edgetest.report.documents.readings_table import readings_sections
from edgetest.report.documents.what_was_tested import tested_section
from edgetest.report.figures.figure_titles import (
    CONTROL,
    groups_of,
    treatments_of,
    with_titles,
)
from edgetest.report.figures.panel_rows import panel_parts
from edgetest.report.figures.plot_style import reading_words
from edgetest.report.figures.wear_figures import plot_wear_panel, share_scales
from edgetest.report.figures.wear_marks import has_crosses
from edgetest.report.letters import breakable
from edgetest.report.wording import (
    begun_words,
    in_units,
    life_interval,
    life_remarks,
    ratio_interval,
)
from edgetest.store.history import read_history
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.wear.corrected_late import corrected_late
from edgetest.study.wear.late_changes_told import late_changes_told
from edgetest.study.wear.protocol_departures import looked_at
from edgetest.study.wear.relabelled_late import relabelled_late
from edgetest.study.words import freedom_words
from edgetest.wear.compare.side_names import life_names, ratio_name
from edgetest.wear.curve.laws import LAWS

# Page one's own sentence, and that of the answer which says the same of two heat treatments.
UNTOLD, CANNOT_TELL = "This test cannot tell which of ", "Cannot tell yet which of "


def comparison_contents(result, settings, *, day):
    """Contents of the document of a comparison.

    Parameters
    ----------
    result : StudyResult
    settings : Settings
        Units, mark, signature and care.
    day : str
        When the document was made, as it says it.

    Returns
    -------
    Contents
    """
    result = with_titles(result)
    study = result.study
    subject = f"Comparison of edge holding · {result.protocol.title}"
    front = front_of(study, settings, subject)
    pictures = front.pictures
    photo_parts, photo_pictures = photo_sections(result, settings)
    all_photos, beside = photo_table(result, settings)
    told_beside = all_photos if beside else []  # a long table of them stands at the end
    pictures.update(photo_pictures)
    numbers = result.comparison
    sections = [
        _answer_section(result, numbers, pictures),
        tested_section(result, settings.units),
        departures_section(looked_at(study, result.protocol), result.departures, settings.units),
        _wear_section(result, pictures) if result.has_curves else lives_section(result, pictures),
        *beside_lives_sections(result, pictures),
        *photo_parts,
        *told_beside,
        doubt_section(result, numbers),
        limits_section(result, numbers),
        *left_out_sections(result, settings.units),
        *notes_section(result),
        care_section([in_units(c, settings.units) for c in result.protocol.cautions], settings),
        *asked_section(result),
        made_section(
            _made_rows(result, numbers),
            data_checksum(study.folder, [photo.sha256 for photo in result.photos]),
            day,
        ),
        *readings_sections(result, settings.units),
        *([] if beside else all_photos),
        *signature_section(settings),
    ]
    return replace(
        front,
        sections=sections,
        beside=beside,
        description=result.summary,
        foot=" · ".join(part for part in (study.title, study.maker, study.date) if part),
    )


def _answer_section(result, numbers, pictures):
    """The answer, its three numbers, and the picture that shows it."""
    said = result.page_one
    first = f"{said.plain} {said.choice}".strip()
    more = [*_said_of(result, numbers), *result.blades_left_out, *_leaning(result.leaning)]
    if numbers is None:
        return section(None, answer(first, more), *blade_pictures(result, pictures, place="flow"))
    ratio = numbers["ratio"]
    value, interval = ratio_interval(ratio["estimate"], ratio["low"], ratio["high"])
    named = breakable(f"Ratio of lives, {ratio_name(numbers, numbers['groups'])}")
    strip, whose = [(named, value, interval)], life_names(numbers["groups"])
    for group in numbers["groups"]:
        words = breakable(f"Life of {whose[group['treatment']]}, cuts")
        strip.append((words, *life_interval(group["life"])))
    return section(
        None,
        answer(first, more, strip),
        *both_answers(result),
        answer_picture(result, numbers, pictures),
        *_pairs_blocks(numbers),
    )


def _leaning(shares):
    """What the lives on page 1 leave out: that the hand leans away from the photographs."""
    return [
        f"The lives and their intervals do not count that the typed readings are {share} on the "
        "whole than the photographed ones."
        for share in shares
    ]


def _said_of(result, numbers):
    """The answer's own sentences; of how many blades it is stands behind the one interval."""
    said, blades = parted_answer(result)[0] or [result.summary], result.page_one.rests_on
    of_two = numbers is not None and not numbers["pairs"]
    if of_two and result.page_one.plain.startswith(UNTOLD):  # what stands above them says it
        said = [words for words in said if not words.startswith(CANNOT_TELL)]
    if blades:
        at = next((k for k, words in enumerate(said) if "% interval" in words), len(said) - 1)
        said[at] = f"{said[at]} {blades}"
    return said


def _pairs_blocks(numbers):
    """All ratios where there is more than one, with intervals that hold together."""
    pairs = numbers["pairs"]
    if len(pairs) < 2:
        return []
    columns = [
        ("Ratio of lives", "left", 1.6),
        ("Ratio", "right", "auto"),
        ("Interval", "right", "auto"),
        ("Verdict", "left", 1.0),
        ("Adjusted for", "left", 1.2),
    ]
    rows = [
        [
            breakable(ratio_name(pair, numbers["groups"])),
            *ratio_interval(*(pair["ratio"][key] for key in ("estimate", "low", "high"))),
            pair["verdict"].replace("_", " "),
            breakable(pair["family"]),
        ]
        for pair in pairs
    ]
    level = pairs[0]["ratio"]["level"]
    caption = (
        f"Every ratio. In {level * 100:g} of 100 tests all intervals of one family hold their "
        "true ratio together."
    )
    return [table(columns, rows, caption=caption)]


def _wear_section(result, pictures):
    """Wear curves on one scale and the table of lives."""
    blades, treatments = list(result.fit.blades), treatments_of(result)
    names = list(dict.fromkeys([*groups_of(result), *treatments]))
    order = sorted(range(len(blades)), key=lambda k: names.index(treatments[k]))
    blades, treatments = [blades[k] for k in order], [treatments[k] for k in order]
    blocks, panels, crosses, drawn = [], [], [], []
    for part in panel_parts(treatments, TALLEST_IN):
        drawn.append(blades[part])
        crosses.append(has_crosses(result.readings, blades[part]))
        panels.append(
            plot_wear_panel(
                blades[part],
                treatments[part],
                limit=result.limit,
                reading=result.reading,
                readings=result.readings,
                order=names,
            )
        )
    if panels:
        share_scales([ax for axes in panels for ax in axes])
    for number, axes in enumerate(panels):
        file = f"wear_{number + 1}.svg"
        begun = begun_words((fit.blade, fit.told_from) for fit in drawn[number])
        caption = _wear_caption(number, len(panels), crosses[number]) + begun
        put_figure(pictures, file, axes[0].figure)
        blocks.append(figure(file, _wear_alt(result), caption, place="float"))
    alone = blade_pictures(result, pictures) if result.comparison else []
    table_ = _lives_table(result, blades, treatments)
    return section("How the edges wore", table_, *alone, *blocks)


def _wear_caption(number, count, crossed):
    part = f" ({number + 1} of {count})" if count > 1 else ""
    cross = "a cross is left out (at the upper edge: above it), " if crossed else ""
    return (
        f"Wear of each blade{part}, all on one scale. Hollow marks are readings, a marker for each "
        f"station; filled marks are the mean of a stage; {cross}a triangle points "
        "to where a reading lies that is only a bound. The line is the fitted wear with its band, "
        "dashed beyond the last stage. On the dotted limit lies the blade's life with its "
        "interval."
    )


def _wear_alt(result):
    words, unit = reading_words(result.reading)
    return f"Wear curves, {words} in {unit} against cuts. " + " ".join(
        f"{fit.blade} reaches the limit at {life_of(fit)}." for fit in result.fit.blades
    )


def _lives_table(result, blades, treatments):
    columns = [
        ("Heat treatment and blade", "left", 1.6),
        ("Life, cuts", "right", "auto"),
        (f"{100 * result.fit.level:g} % interval", "right", "auto"),
        ("Scatter about curve", "right", "auto"),
        ("Remarks", "left", 1.3),
    ]
    groups = {}
    if result.comparison:
        groups = {group["treatment"]: group for group in result.comparison["groups"]}
    blade_of = {each.run: each.blade for each in result.readings}
    rows: list[list[str]] = []
    bold: list[int] = []
    for treatment in dict.fromkeys(treatments):
        members = [fit for fit, its in zip(blades, treatments, strict=True) if its == treatment]
        bold.append(len(rows))
        head = treatment_head(groups, treatment, len(members))
        count = _members(members, blade_of, treatment == CONTROL)
        rows.append([*head, "", count])
        rows += [_life_row(fit) for fit in members]
        rows += left_out_rows(result, treatment, ("–", "–", "–"))
    unit = reading_words(result.reading)[1]
    caption = "Life blade by blade"
    if result.limit is not None:
        caption = f"Life to a limit of {result.limit:g} {unit}, blade by blade".rstrip()
    elif result.limit_of_fresh is not None:
        caption = f"Life to {result.limit_of_fresh:g} times the fresh reading, blade by blade"
    return table(
        columns, rows, caption=f"{caption}; shaded lines are the heat treatments.", bold=bold
    )


def _members(fits, blade_of, of_control):
    """How many blades a heat treatment has, and their runs where these are more."""
    runs, blades = len(fits), len({blade_of[fit.blade] for fit in fits})
    in_runs = f"{runs} run{'s' if runs > 1 else ''}"
    if of_control:
        return in_runs
    return f"{blades} blade{'s' if blades > 1 else ''}{f', {in_runs}' if runs > blades else ''}"


def _life_row(fit):
    life = fit.to_dict()["life"]
    cv = fit.residual_cv
    scatter = f"{100 * cv:.1f} %" if cv is not None and cv == cv else "–"
    return [breakable(fit.blade), *life_interval(life), scatter, ", ".join(life_remarks(fit))]


def _made_rows(result, numbers):
    laws = dict.fromkeys(fit.law for fit in result.fit.blades) if result.has_curves else ()
    rows = [("Law of wear", "; ".join(f"{law}: {LAWS[law].formula}" for law in laws))]
    if numbers:
        df = numbers["ratio"]["df"]
        tail = f", {freedom_words(df)}" if df is not None else ""
        rows.append(("Interval", f"{numbers['ratio']['method']}{tail}"))
        if result.page_one.method:
            rows.append(("Interval in full", result.page_one.method.partition(": ")[2]))
    used = [reading for reading in result.readings if not reading.excluded]
    from_photos = sum(reading.source == "photograph" for reading in used)
    rows.append(
        (
            "Readings",
            f"{len(used)} in use, {from_photos} from photographs, {len(used) - from_photos} typed; "
            f"{len(result.readings) - len(used)} left out",
        )
    )
    return [*rows, *_corrected_rows(result)]


def _corrected_rows(result):
    """Readings corrected or left out once all of their blade stood, as the history has them."""
    if is_sealed(result.study):
        return []
    history = read_history(result.study.folder)
    told = late_changes_told(corrected_late(history, result.reading), result.protocol)
    covers = "Told are rows with a reading: value, block, batch, and whether it counts."
    label = "Changed after its blade's last reading"
    rows = [(label, f"{'; '.join(told)}. {covers}")] if told else []
    named = "; ".join(relabelled_late(history, result.reading))
    return [*rows, *([("Named otherwise after its last reading", f"{named}.")] if named else [])]
