"""The verb plot: the figure that belongs to a result."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from edgetest.errors import UnusableInput
from edgetest.estimate import shown

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot(result: Any, ax: Axes | None = None) -> Axes:
    """Draw the figure that belongs to a result.

    Parameters
    ----------
    result : StudyResult, CurveFit, PhotoResult, ChopResult or another result of a verb
        A study's result is drawn as the lives of its blades (cuts), a curve as readings and
        wear against cuts, a comparison as the ratio of lives, a photograph as width along the
        edge (µm), a chop test as chops for every piece, a verdict as its chances, a case as
        carbon across the section, a plan as the chance of seeing the difference (%).
    ax : matplotlib Axes, optional
        Where to draw; a figure of its own if not given.

    Returns
    -------
    matplotlib Axes
        `ax.figure.savefig(path)` keeps it. Of a case without `ax`, that of the carbon; the
        hardness stands below it in the same figure.

    Raises
    ------
    UnusableInput
        For a result that has no figure, a photograph that was refused, or Axes that are none.

    Examples
    --------
    >>> import edgetest as et
    >>> import pandas as pd
    >>> log = pd.DataFrame({"blade": "A", "cuts": [0, 25, 50, 100, 200]})
    >>> log["edge_width_um"] = [2.5, 6.1, 8.2, 11.5, 16.2]
    >>> et.plot(et.fit(log, limit=12).fit["A"]).get_xlabel()
    'cuts'
    """
    kind = type(result).__name__
    if kind not in DRAWN:
        raise UnusableInput(
            f"{kind} has no figure", "plot", f"give one of: {', '.join(sorted(DRAWN))}"
        )
    if ax is not None and not hasattr(ax, "get_figure"):
        raise UnusableInput(
            f"{shown(ax)} is no Axes", "ax", "give one of matplotlib's Axes, or leave it out"
        )
    axes: Axes = DRAWN[kind](result, ax)
    return axes


def _lives(result: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.comparison_figures import plot_lives

    groups = result.comparison.to_dict()["groups"] if result.comparison else ()
    return plot_lives(
        result.fit.blades, result.treatments(), groups=groups, reading=result.reading, ax=ax
    )


def _curve(fit: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.wear_figures import plot_wear

    return plot_wear(fit, ax=ax)


def _ratio(comparison: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.comparison_figures import plot_ratio

    return plot_ratio(comparison, ax=ax)


def _photo(result: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.photo_figures import plot_width_along_edge
    from edgetest.study.photos.measure_photos import with_arrays

    measurement = with_arrays(result).measurement if hasattr(result, "task") else result
    if measurement is None or measurement.status != "measured":
        raise UnusableInput(result.summary().rstrip("."), "plot", "photograph the edge again")
    return plot_width_along_edge(measurement, ax=ax)


def _survey(survey: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.photo_figures import plot_survey

    return plot_survey(survey, ax=ax)


def _scale(scale: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.photo_figures import plot_scale

    return plot_scale(scale, ax=ax)


def _chops(result: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.chop_figures import plot_chops

    return plot_chops(result, ax=ax)


def _chances(result: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.steel_figures import plot_chances

    if not result.weighed:
        raise UnusableInput(
            "nothing was weighed yet", "plot", "enter what you see of the piece first"
        )
    return plot_chances(result.families(), title="What it may serve for", ax=ax)


def _case(answer: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.steel_figures import plot_case

    axes = None if ax is None else (ax, ax.inset_axes((0, -0.9, 1, 0.7)))
    return plot_case(answer.case, title=answer.section, axes=axes)[0]


def _power(plan: Any, ax: Axes | None) -> Any:
    from edgetest.report.figures.comparison_figures import plot_power

    need = plan.need
    return plot_power(
        need.curve.blades, need.curve.chances, target=need.power, labels=[need.difference],
        each=need.words.each, standard_errors=need.curve.standard_errors,
        through=need.curve.through(need.ratio, need.level), ax=ax,
    )  # fmt: skip


DRAWN = {
    "StudyResult": _lives,
    "CurveFit": _curve,
    "Comparison": _ratio,
    "PhotoResult": _photo,
    "ApexMeasurement": _photo,
    "Survey": _survey,
    "Scale": _scale,
    "ChopResult": _chops,
    "SteelResult": _chances,
    "CaseAnswer": _case,
    "Plan": _power,
}
