"""What stands beside the ratio of lives: equal cuts, card totals, the ratio against the limit."""

from edgetest.report.documents.blocks import figure, section, text
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.figures.comparison_figures import plot_ratio_by_limit


def beside_lives_sections(result, pictures):
    """The section on other cuts and other limits; none where there is nothing to say.

    Parameters
    ----------
    result : Titled
    pictures : dict
        Takes the figure's file.

    Returns
    -------
    list of dict
    """
    blocks = [text(words) for words in result.beside]
    if len(result.levels) > 1:
        said = result.level_words
        ax = plot_ratio_by_limit(
            result.levels, limit=result.limit, reading=result.reading, pair=(said.of, said.to)
        )
        put_figure(pictures, "ratio_by_limit.svg", ax.figure)
        alt = f"Ratio of lives against the limit. {said.summary()}"
        caption = f"{said.says}, {BY_LIMIT}"
        blocks.append(figure("ratio_by_limit.svg", alt, caption, place="float"))
    return [section("At other cuts and other limits", *blocks)] if blocks else []


BY_LIMIT = (
    "with its interval; the dashed line is no difference, the dotted one the limit of this "
    "study. Limits beyond reach are left out."
)
