"""What stands beside the ratio of lives: equal cuts, card totals, the ratio against the limit."""

from edgetest.report.documents.blocks import figure, section, text
from edgetest.report.documents.drawn_pictures import put_figure
from edgetest.report.figures.comparison_figures import plot_ratio_by_limit
from edgetest.report.figures.level_marks import level_band


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
        drawn = {"limit": result.limit, "reading": result.reading, "pair": (said.of, said.to)}
        ax = plot_ratio_by_limit(result.levels, **drawn)
        put_figure(pictures, "ratio_by_limit.svg", ax.figure)
        alt = f"Ratio of lives against the limit. {said.summary()}"
        caption = (
            f"{said.says}, {by_limit(level_band(result.levels, **drawn))} {said.carried_words()}"
        )
        blocks.append(figure("ratio_by_limit.svg", alt, caption.strip(), place="float"))
    return [section("At other cuts and other limits", *blocks)] if blocks else []


def by_limit(band):
    """What the lines of the figure are: the study's limit only where it lies on the axis.

    Parameters
    ----------
    band : LevelBand
    """
    if band.limit is None:
        ends = ""
    elif band.ends[0] <= band.limit <= band.ends[1]:
        ends = ", the dotted one the limit of this study"
    else:
        ends = f" (the limit of this study, {band.limit:g}, is not among those drawn)"
    return (
        f"with its interval; the dashed line is no difference{ends}. Limits beyond reach are left "
        "out."
    )
