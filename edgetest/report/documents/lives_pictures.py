"""How are lives drawn so that they fit a page: with their ratio, and blade by blade?"""

from edgetest.report.documents.blocks import figure
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.figures.comparison_figures import (
    comparison_height_in,
    plot_comparison,
    plot_lives_in_parts,
)
from edgetest.report.figures.figure_titles import groups_of, treatments_of
from edgetest.report.figures.life_rows import life_rows
from edgetest.report.wording import life_interval, ratio_interval
from edgetest.wear.compare.compare_lives import AS_USUAL
from edgetest.wear.compare.side_names import life_names

# A figure is set 0.95 of its size on US letter, whose text is 9.3 in tall; the caption takes 0.9.
TALLEST_IN = 8.6
USUAL_MARGIN = AS_USUAL.margin


def answer_picture(result, numbers, pictures):
    """Lives above, their ratio below; of the heat treatments alone where all blades need a page.

    Parameters
    ----------
    result : Titled
    numbers : dict
        Its comparison.
    pictures : dict
        Takes the figure's file.

    Returns
    -------
    dict
        A block of the document.
    """
    blades, treatments = result.fit.blades, treatments_of(result)
    ratio, margin = numbers["ratio"], numbers["practical"]["margin"]
    level = f"with {ratio['level'] * 100:g} % intervals"
    shows = life_rows(blades, treatments, numbers["groups"], result.reading).shows
    above = f"{shows}, {level}. {_marks(result)}; an"
    if not _fits(result, numbers):
        blades, treatments = [], []
        above = f"life of each heat treatment, {level}; its blades follow further down. An"
    lives, _ = plot_comparison(numbers, blades, treatments, reading=result.reading)
    put_figure(pictures, "comparison.svg", lives.figure)
    looks = numbers["look"]["of"] if numbers["look"] else 1
    over = f" with its interval over all {looks} looks" if looks > 1 else ""
    usual = f"{USUAL_MARGIN * 100:g} %"
    chosen = "" if margin == USUAL_MARGIN else f", chosen in place of the usual {usual}"
    caption = (
        f"Above: {above} arrow has no end. Below: the ratio of lives{over}; the dashed line is no "
        f"difference, the shaded strip a difference under {margin * 100:g} %{chosen}."
    )
    said = _with_interval(*ratio_interval(*(ratio[key] for key in ("estimate", "low", "high"))))
    whose = life_names(numbers["groups"])
    told = " ".join(
        f"{whose[group['treatment']]}: {_with_interval(*life_interval(group['life']))} cuts."
        for group in numbers["groups"]
    )
    alt = f"Interval plot. Ratio of lives {said}. {told}"
    return figure("comparison.svg", alt, caption, place="here")


def blade_pictures(result, pictures, *, place="float"):
    """The life of every blade, in parts that fit a page; none where page 1 has shown them.

    Parameters
    ----------
    result : Titled
    pictures : dict
        Takes the figures' files.
    place : {"float", "flow"}
        "flow" on page 1, where nothing may come before the title.

    Returns
    -------
    list of dict
    """
    blades = [fit for fit in result.fit.blades if fit.life is not None]
    if not blades or (result.comparison is not None and _fits(result, result.comparison)):
        return []
    parts = plot_lives_in_parts(
        result.fit.blades, treatments_of(result), order=groups_of(result),
        reading=result.reading, tallest_in=TALLEST_IN,
    )  # fmt: skip
    found = []
    for number, ax in enumerate(parts, 1):
        file = f"lives_{number}.svg"
        put_figure(pictures, file, ax.figure)
        shown = {label.get_text() for label in ax.get_yticklabels()}
        told = " ".join(f"{fit.blade}: {life_of(fit)}." for fit in blades if fit.blade in shown)
        part = f" ({number} of {len(parts)}, on one scale)" if len(parts) > 1 else ""
        caption = f"Life of each blade with its interval{part}. {_marks(result)}."
        alt = f"Interval plot of lives. {told}".strip()
        found.append(figure(file, alt, caption, place=place))
    return found


def life_of(fit):
    """The life of a blade in words."""
    return f"{_with_interval(*life_interval(fit.to_dict()['life']))} cuts"


def _with_interval(value, interval):
    """A number with its interval in brackets, where it has one."""
    return f"{value} ({interval})" if interval else value


def _fits(result, numbers):
    """Whether all blades, their heat treatments and the ratio have room on one page."""
    blades, treatments = result.fit.blades, treatments_of(result)
    tall = comparison_height_in(numbers, blades, treatments, reading=result.reading)
    return tall <= TALLEST_IN


def _marks(result):
    """What the marks of single lives mean."""
    if result.has_curves:
        return "Hollow marks lie beyond the last stage cut"
    return "A bar without a mark is a life known to lie between its ends"
