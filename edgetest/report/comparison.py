"""What the document of a comparison says: heat treatments side by side, and how sure."""

from math import exp

from edgetest.protocol import describe
from edgetest.report import wording
from edgetest.report.comparison_figures import plot_comparison, plot_lives
from edgetest.report.blocks import (
    Contents,
    answer,
    bullets,
    facts,
    figure,
    section,
    table,
    text,
)
from edgetest.report.figures import plot_wear_panel, share_scales
from edgetest.report.frame import (
    INVENTED,
    care_section,
    data_checksum,
    made_section,
    mark_of,
    program_words,
    signature_section,
)
from edgetest.report.look import reading_words, svg_bytes
from edgetest.report.photographs import photo_sections
from edgetest.report.wording import breakable, chance_words, in_units, interval_words, life_words

BLADES_A_FIGURE = 12
LAWS = {
    "wedge": "Worn wedge: width = (w0^p + K · cuts)^(1/p)",
}


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
    study = result.study
    mark, mark_bytes = mark_of(settings, study.folder)
    pictures = {mark["file"]: mark_bytes} if mark else {}
    photo_parts, photo_pictures, photo_table = photo_sections(result, settings.units)
    pictures |= photo_pictures
    numbers = result.comparison.to_dict() if result.comparison else None
    sections = [
        _answer_section(result, numbers, pictures),
        _tested_section(result, settings.units),
        _wear_section(result, pictures),
        *photo_parts,
        _doubt_section(result, numbers),
        _limits_section(result, numbers),
        *_left_out_sections(result),
        care_section([in_units(c, settings.units) for c in result.protocol.cautions], settings),
        made_section(
            _made_rows(result, numbers),
            data_checksum(study.folder, [photo.sha256 for photo in result.photos]),
            day,
        ),
        *photo_table,
        *signature_section(settings),
    ]
    return Contents(
        title=study.title,
        subtitle=_subtitle(study, settings),
        maker=study.maker,
        sections=sections,
        pictures=pictures,
        description=result.summary(),
        foot=" · ".join(part for part in (study.title, study.maker, study.date) if part),
        label=INVENTED if study.invented else None,
        mark=mark,
        author=study.maker or study.tested_by,
        program=program_words(),
    )


def _subtitle(study, settings):
    parts = [
        "Comparison of edge holding",
        f"tested by {study.tested_by}" if study.tested_by else "",
        study.date,
        f"for {settings.customer}" if settings.customer else "",
    ]
    return " · ".join(part for part in parts if part)


def treatments_of(result):
    """Heat treatment of every fitted blade, in the order of the fit."""
    known = {blade.id: blade.heat_treatment for blade in result.study.blades}
    named = {reading.blade: reading.heat_treatment for reading in result.readings}
    control = result.study.control
    return [
        "Control" if fit.blade == control else named.get(fit.blade) or known.get(fit.blade) or ""
        for fit in result.fit.blades
    ]


def _answer_section(result, numbers, pictures):
    """The answer, its three numbers, and the picture that shows it."""
    sentences = _split(result.summary())
    if numbers is None:
        return section(None, answer(sentences[0], sentences[1:]), *_lives_alone(result, pictures))
    ratio = numbers["ratio"]
    value, interval = interval_words(ratio["estimate"], ratio["low"], ratio["high"])
    strip = [(f"Life, {numbers['second']} : {numbers['first']}", value, interval)]
    for group in numbers["groups"][:2]:
        strip.append((f"Life of {group['treatment']}, cuts", *life_words(group["life"])))
    blades, treatments = result.fit.blades, treatments_of(result)
    lives, _ = plot_comparison(numbers, blades, treatments, reading=result.reading)
    pictures["comparison.svg"] = svg_bytes(lives.figure)
    margin = numbers["practical"]["margin"]
    caption = (
        f"Above: life of each blade and, shaded, of each heat treatment, with "
        f"{ratio['level']:.0%} intervals. Hollow marks lie beyond the last stage cut; an arrow "
        "has no upper end. Below: the ratio of lives; the dashed line is no difference, the "
        f"shaded strip a difference under {margin * 100:g} %."
    ).replace("%", "%")
    alt = (
        f"Interval plot. Ratio of lives {value}, from {interval}. "
        + " ".join(
            f"{group['treatment']}: {' '.join(life_words(group['life'])).strip()} cuts."
            for group in numbers["groups"]
        )
    )
    return section(
        None,
        answer(sentences[0], sentences[1:], strip),
        figure("comparison.svg", alt, caption),
    )


def _lives_alone(result, pictures):
    """The lives where nothing could be compared."""
    blades = [fit for fit in result.fit.blades if fit.life is not None]
    if not blades:
        return []
    ax = plot_lives(result.fit.blades, treatments_of(result), reading=result.reading)
    pictures["lives.svg"] = svg_bytes(ax.figure)
    alt = "Interval plot of lives. " + " ".join(
        f"{fit.blade}: {' '.join(life_words(fit.to_dict()['life'])).strip()} cuts." for fit in blades
    )
    return [figure("lives.svg", alt, "Life of each blade with its interval.")]


def _split(summary):
    """The sentences of a summary; a full stop inside a number or a word does not end one."""
    sentences = [""]
    for word in summary.split():
        sentences[-1] = f"{sentences[-1]} {word}".strip()
        if word.endswith((".", "!", "?")) and len(word) > 2:
            sentences.append("")
    return [sentence for sentence in sentences if sentence]


def _tested_section(result, units):
    """Protocol, blades with what was done to them, heat treatments step by step."""
    study, protocol = result.study, result.protocol
    words, unit = reading_words(result.reading)
    edge = protocol.edge_preparation
    rows = [
        ("Protocol", protocol.title),
        ("Cut", in_units(describe(protocol), units)),
        ("Reading", f"{words}; a blade's life ends at {result.limit:g} {unit}".rstrip()),
        ("Edge", in_units(f"{edge.finish}; wire edge: {edge.wire_edge}", units)),
        ("Control blade", f"{study.control}, run in every block" if study.control else ""),
        ("Notes", in_units(study.notes, units)),
    ]
    steps = [
        (treatment.id, in_units(_steps_words(treatment), units))
        for treatment in study.heat_treatments
    ]
    blocks = [facts(rows)]
    if steps:
        blocks += [text("Heat treatments, in the order of their steps:"), facts(steps)]
    columns = [
        ("Blade", "left", 1.5),
        ("Heat treatment", "left", 1.4),
        ("Steel", "left", 1.0),
        ("Edge angle", "left", 1.3),
        ("Behind the edge", "right", 0.8),
        ("HRC wanted", "right", 0.7),
        ("HRC measured", "right", 0.9),
    ]
    blades = [_blade_row(blade, study, units) for blade in study.blades]
    blocks.append(table(columns, blades))
    return section("What was tested, and how", *blocks)


def _steps_words(treatment):
    title = f"{treatment.title}: " if treatment.title and treatment.title != treatment.id else ""
    return f"{title}{treatment.words() or 'steps not recorded'}" + (
        f". {treatment.note}" if treatment.note else ""
    )


def _blade_row(blade, study, units):
    name = f"{blade.id} ({blade.title})" if blade.title and blade.title != blade.id else blade.id
    role = " · control" if blade.id == study.control else ""
    thick = blade.thickness_behind_edge_mm
    target = blade.hardness_target_hrc
    return [
        breakable(name + role),
        breakable(blade.heat_treatment or "–"),
        breakable(blade.steel or "–"),
        wording.angle_words(blade.included_angle_deg),
        in_units(f"{thick:g} mm", units) if thick is not None else "–",
        "–" if target is None else _bracket_words(target),
        _hardness_words(blade),
    ]


def _bracket_words(bracket):
    low, high = bracket
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _hardness_words(blade):
    """Hardness as it was got: numbers, or between two files; never a wish."""
    if blade.hardness_hrc:
        return ", ".join(f"{reading:g}" for reading in blade.hardness_hrc)
    files = blade.hardness_files
    if files is None:
        return "–"
    ends = [f"over {files.skates:g}" if files.skates is not None else ""]
    ends.append(f"under {files.bites:g}" if files.bites is not None else "")
    return f"{', '.join(end for end in ends if end)} (files)"


def _wear_section(result, pictures):
    """Wear curves on one scale and the table of lives."""
    blades, treatments = list(result.fit.blades), treatments_of(result)
    order = sorted(range(len(blades)), key=lambda k: list(dict.fromkeys(treatments)).index(treatments[k]))
    blades, treatments = [blades[k] for k in order], [treatments[k] for k in order]
    blocks, panels = [], []
    for first in range(0, len(blades), BLADES_A_FIGURE):
        part = slice(first, first + BLADES_A_FIGURE)
        styles = [list(dict.fromkeys(treatments)).index(name) for name in treatments[part]]
        panels.append(
            plot_wear_panel(
                blades[part], treatments[part], limit=result.limit, reading=result.reading,
                styles=styles,
            )  # fmt: skip
        )
    if panels:
        share_scales([ax for axes in panels for ax in axes])
    for number, axes in enumerate(panels):
        file = f"wear_{number + 1}.svg"
        pictures[file] = svg_bytes(axes[0].figure)
        blocks.append(figure(file, _wear_alt(result), _wear_caption(number, len(panels))))
    blocks.append(_lives_table(result, blades, treatments))
    return section("How the edges wore", *blocks)


def _wear_caption(number, count):
    part = f" ({number + 1} of {count})" if count > 1 else ""
    return (
        f"Wear of each blade{part}, all on one scale. Hollow marks are readings, a marker for each "
        "station; filled marks are the mean of a stage; the line is the fitted wear with its "
        "band, dashed beyond the last stage. On the dotted limit lies the blade's life with its "
        "interval."
    )


def _wear_alt(result):
    words, unit = reading_words(result.reading)
    return f"Wear curves, {words} in {unit} against cuts. " + " ".join(
        f"{fit.blade} reaches the limit at {' '.join(life_words(fit.to_dict()['life'])).strip()} cuts."
        for fit in result.fit.blades
    )


def _lives_table(result, blades, treatments):
    columns = [
        ("Blade", "left", 1.5),
        ("Heat treatment", "left", 1.3),
        ("Life, cuts", "right", "auto"),
        ("95 % interval", "right", "auto"),
        ("Scatter about curve", "right", "auto"),
        ("Remarks", "left", 1.5),
    ]
    groups = {}
    if result.comparison:
        groups = {group["treatment"]: group for group in result.comparison.to_dict()["groups"]}
    rows, bold = [], []
    for treatment in dict.fromkeys(treatments):
        for fit, its in zip(blades, treatments, strict=True):
            if its == treatment:
                rows.append(_life_row(fit, treatment))
        if treatment in groups:
            bold.append(len(rows))
            group = groups[treatment]
            rows.append(
                [breakable(treatment), f"{group['n']} blades", *life_words(group["life"]), "", ""]
            )
    unit = reading_words(result.reading)[1]
    caption = f"Life to a limit of {result.limit:g} {unit}, blade by blade".rstrip()
    return table(columns, rows, caption=f"{caption}; shaded lines are the heat treatments.", bold=bold)


def _life_row(fit, treatment):
    life = fit.to_dict()["life"]
    remarks = []
    if life and life["extrapolated"]:
        remarks.append("beyond the last stage")
    if life and life["censored"]:
        remarks.append("stopped before the limit")
    cv = fit.residual_cv
    scatter = f"{100 * cv:.1f} %" if cv is not None and cv == cv else "–"
    names = [breakable(fit.blade), breakable(treatment)]
    return [*names, *life_words(life), scatter, ", ".join(remarks)]


def _doubt_section(result, numbers):
    """Uncertainty in words a customer understands, then the doubts of fit and comparison."""
    lines = []
    if numbers:
        ratio = numbers["ratio"]
        value, interval = interval_words(ratio["estimate"], ratio["low"], ratio["high"])
        lines.append(
            f"The ratio of {value} is the best estimate. If the whole test were done again many "
            f"times, intervals made this way, here {interval}, would hold the true ratio in "
            f"{ratio['level'] * 100:g} of 100 cases."
        )
        longer = numbers["probability_longer"]
        if longer is not None:
            lines.append(
                f"Chance that {numbers['second']} lasts longer on average: {chance_words(longer)}; "
                f"that the next such blade outlasts the next one of {numbers['first']}: "
                f"{chance_words(numbers['probability_next_blade_outlasts'])}."
            )
        for group in numbers["groups"]:
            if group["sd_log_life"] is not None:
                spread = 100 * (exp(group["sd_log_life"]) - 1)
                lines.append(
                    f"The {group['n']} blades of {group['treatment']} differ from one another "
                    f"by about {spread:.0f} % in life (standard deviation)."
                )
    power = result.fit.power
    lines.append(
        f"The power of the wear law, {power.summary()}, is shared by all blades; a worn wedge "
        "that loses the same volume with each cut has 2."
        if power.low < power.value < power.high
        else f"The power of the wear law was set to {power.value:g}."
    )
    lines += [warning["text"] for warning in _warnings(result, numbers)]
    return section("How sure this is", bullets(dict.fromkeys(lines)))


def _warnings(result, numbers):
    """Every doubt once: of the study, the fit, the blades, the comparison."""
    found = {}
    sources = [result.warnings, result.fit.to_dict().get("warnings", ())]
    if numbers:
        sources.append(numbers["warnings"])
    for warning in (warning for source in sources for warning in source):
        found.setdefault(warning["code"], warning)
    for fit in result.fit.blades:
        for warning in fit.to_dict()["warnings"]:
            key = f"{warning['code']}, {fit.blade}"
            found[key] = {**warning, "text": f"{fit.blade}: {warning['text']}"}
    return [warning for warning in found.values() if warning["code"] != "invented"]


def _limits_section(result, numbers):
    """What these data cannot say, and what would let them."""
    medium = result.protocol.medium
    lines = [
        f"The lives hold for {medium.kind} of this batch, cut as described, to this limit and this "
        "edge angle. Another medium, angle or limit can turn the order round; test that to know it."
    ]
    if any(fit.life is not None and fit.life.extrapolated for fit in result.fit.blades):
        lines.append(
            "Where a life lies beyond the last stage, the law of wear carries it, not the data. "
            "Cutting those blades on to the limit would settle it."
        )
    if any(fit.life is not None and fit.life.censored for fit in result.fit.blades):
        lines.append(
            "A blade that was stopped before the limit has only a least life. Cutting it on "
            "would give it one."
        )
    if numbers:
        scope = numbers["scope"]
        if scope == "blades":
            lines.append(
                "The blades are compared, not their heat treatments: with one blade the difference "
                "between blades of one heat treatment is not known."
            )
        if scope == "batches":
            lines.append(
                "The batches are compared, not the heat treatments as such: each was hardened in "
                "one batch. A second batch of each would allow more to be said."
            )
        needed = numbers.get("blades_needed")
        if needed:
            lines.append(f"About {needed} blades of each heat treatment would allow a verdict.")
    lines.append(
        "It tells of wear, not of toughness: a blade that holds its edge longer may chip or break "
        "sooner. These are observations of a test, no certificate of a blade or a steel."
    )
    return section("What the data cannot say", bullets(lines))


def _left_out_sections(result):
    """Readings left out with their reasons, and mishaps that were kept."""
    excluded = [reading for reading in result.readings if reading.excluded]
    blocks = []
    if excluded:
        words, unit = reading_words(result.reading)
        columns = [
            ("Row", "right", "auto"),
            ("Blade", "left", 1.2),
            ("Cuts", "right", "auto"),
            ("Station", "left", "auto"),
            (f"{words}, {unit}" if unit else words, "right", "auto"),
            ("Reason", "left", 2.0),
        ]
        rows = [
            [
                reading.line, breakable(reading.blade), f"{reading.cuts:g}", reading.station or "–",
                _reading_words(reading), reading.reason or "no reason given",
            ]
            for reading in excluded
        ]  # fmt: skip
        blocks.append(table(columns, rows, caption="Rows of the log that do not count."))
    mishaps = [row for row in result.log.rows if row.mishap and not row.exclude]
    if mishaps:
        blocks.append(text("Mishaps noted at the bench whose readings were kept:"))
        blocks.append(
            bullets(
                f"{row.blade} at {row.cuts:g} cuts (row {row.line}): {row.mishap}"
                for row in mishaps
            )
        )
    return [section("Left out", *blocks)] if blocks else []


def _reading_words(reading):
    """A reading as it was noted: a number, a bound, or between two."""
    if reading.value == reading.value:
        return f"{reading.value:.4g}"
    low, high = (
        end if end is not None and end == end and abs(end) != float("inf") else None
        for end in (reading.lower, reading.upper)
    )
    if low is None and high is None:
        return "–"
    if low is None or low == 0:
        return f"below {high:g}" if high is not None else "–"
    return f"above {low:g}" if high is None else f"{low:g} to {high:g}"


def _made_rows(result, numbers):
    laws = dict.fromkeys(fit.law for fit in result.fit.blades)
    rows = [("Law of wear", "; ".join(LAWS.get(law, law) for law in laws))]
    if numbers:
        df = numbers["ratio"]["df"]
        tail = f", {df:.3g} degrees of freedom" if df is not None else ""
        rows.append(("Interval", f"{numbers['ratio']['method']}{tail}"))
    used = [reading for reading in result.readings if not reading.excluded]
    from_photos = sum(reading.source == "photograph" for reading in used)
    rows.append(
        (
            "Readings",
            f"{len(used)} in use, {from_photos} from photographs, {len(used) - from_photos} typed; "
            f"{len(result.readings) - len(used)} left out",
        )
    )
    return rows
