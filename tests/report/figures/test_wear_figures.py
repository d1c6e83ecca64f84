"""Figures of wear curves are told by what stands on their Axes."""

from types import SimpleNamespace

import numpy as np
from numpy.testing import assert_allclose

from edgetest.report.figures.comparison_figures import plot_lives_in_parts
from edgetest.report.figures.plot_style import series, svg_bytes
from edgetest.report.figures.wear_figures import (
    plot_residuals,
    plot_wear,
    plot_wear_panel,
    share_scales,
)
from tests.report.stand_ins import TREATMENTS, curve, lines_at, lives


def test_wear_shows_readings_curve_limit_and_life():
    fit = curve("K2", 300.0)
    ax = plot_wear(fit)
    assert ax.get_title(loc="left") == "K2"
    assert ax.get_ylabel() == "edge width (µm)"
    drawn = np.concatenate([line.get_ydata() for line in ax.lines if line.get_marker() in "os^"])
    for value in fit.value:
        assert np.isclose(drawn, value).any()
    limit = lines_at(ax, 12.0)
    assert any(list(line.get_xdata()) == [0, 1] for line in limit)  # across the axes
    ends = [tuple(line.get_xdata()) for line in limit]
    assert (fit.life.low, fit.life.high) in ends
    assert (fit.life.cuts,) in ends


def test_wear_beyond_the_last_stage_is_dashed_and_hollow():
    fit = curve("K2", 700.0)
    ax = plot_wear(fit)
    dashed = [line for line in ax.lines if len(line.get_xdata()) == 60]
    assert [line.is_dashed() for line in dashed] == [True]
    assert dashed[0].get_xdata()[0] == 400
    mark = [line for line in lines_at(ax, 12.0) if tuple(line.get_xdata()) == (700.0,)]
    assert mark[0].get_markerfacecolor() == "#ffffff"


def test_life_far_outside_is_an_arrow_not_a_stretched_axis():
    ax = plot_wear(curve("K2", 5000.0))
    assert ax.get_xlim()[1] < 1300
    assert any(line.get_marker() == ">" for line in lines_at(ax, 12.0))


def test_blade_without_life_or_curve_is_drawn():
    fit = curve("K2", 300.0)
    bare = SimpleNamespace(**{**vars(fit), "life": None})
    bare.predict = lambda cuts: SimpleNamespace(
        cuts=cuts, value=cuts * np.nan, low=cuts * np.nan, high=cuts * np.nan
    )
    ax = plot_wear(bare)
    assert not any(line.get_color() == "#b5431a" for line in ax.lines)


def test_bounds_point_to_where_the_reading_lies_and_what_was_left_out_is_crossed():
    def noted(value=np.nan, lower=np.nan, upper=np.nan, *, run="K2", excluded=False):
        return SimpleNamespace(
            run=run, cuts=150.0, value=value, lower=lower, upper=upper, excluded=excluded
        )

    fit = curve("K2", 300.0)
    readings = [
        noted(upper=7.0), noted(lower=9.0), noted(lower=4.0, upper=5.0),
        noted(value=14.0, excluded=True), noted(upper=11.0, run="K3"),
    ]  # fmt: skip
    ax = plot_wear(fit, readings=readings)
    new = [line for line in ax.lines if len(line.get_xdata()) and line.get_xdata()[0] == 150.0]
    drawn = {(line.get_marker(), tuple(map(float, line.get_ydata()))) for line in new}
    assert drawn == {("v", (7.0,)), ("^", (9.0,)), ("_", (4.0, 5.0)), ("x", (14.0,))}


def test_what_was_left_out_far_above_stands_at_the_edge_and_flattens_no_curve():
    far = SimpleNamespace(
        run="A", cuts=150.0, value=370.0, lower=np.nan, upper=np.nan, excluded=True
    )

    def cross(ax):
        (line,) = (line for line in ax.lines if line.get_marker() == "x")
        return float(line.get_ydata()[0])

    ax = plot_wear(curve("A", 240.0), readings=[far])
    assert 12.0 < cross(ax) < ax.get_ylim()[1] < 50
    blades = [curve("A", 240.0), curve("B", 700.0)]
    axes = plot_wear_panel(blades, ["hard"] * 2, limit=12.0, readings=[far])
    assert axes[0].get_ylim() == axes[1].get_ylim()
    assert 12.0 < cross(axes[0]) < axes[0].get_ylim()[1] < 50
    share_scales([*axes, *plot_wear_panel([curve("C", 240.0)], ["hard"], limit=400.0)])
    assert cross(axes[0]) == 370.0


def test_panel_gives_all_blades_one_scale_in_groups():
    blades = [curve("A", 240.0), curve("B", 700.0), curve("C", 300.0)]
    axes = plot_wear_panel(blades, ["hard", "soft", "hard"], limit=12.0)
    assert [ax.get_title(loc="left") for ax in axes] == ["A", "C", "B"]
    assert len({ax.get_xlim() for ax in axes}) == len({ax.get_ylim() for ax in axes}) == 1
    names = [text.get_text() for text in axes[0].figure.texts]
    assert names == ["hard", "soft"]


def test_a_control_blade_between_the_two_takes_no_colour_of_theirs():
    blades, treatments = [curve(name, 240.0) for name in "ABC"], ["straw", "control", "blue"]
    for order, numbers in (((), (0, 1, 2)), (["straw", "blue"], (0, 2, 1))):
        colour = dict(zip("ABC", (series(number).colour for number in numbers), strict=True))
        for ax in plot_wear_panel(blades, treatments, limit=12.0, order=order):
            own = {line.get_color() for line in ax.lines}
            assert own & set(colour.values()) == {colour[ax.get_title(loc="left")]}
        (lives,) = plot_lives_in_parts(blades, treatments, order=order, tallest_in=9.0)
        rows = [label.get_text() for label in lives.get_yticklabels()]
        for y, name in enumerate(rows):
            own = {line.get_color() for line in lives.lines if y in line.get_ydata()}
            assert own & set(colour.values()) == {colour[name]}


def test_the_last_number_below_the_last_panel_is_not_cut_off():
    axes = plot_wear_panel([curve(name, 240.0) for name in "ABCD"], ["hard"] * 4, limit=12.0)
    figure = axes[0].figure
    for end in (300, 1000):
        axes[-1].set(xlim=(0, 1.03 * end), xticks=[0, end])
        figure.canvas.draw()
        last = axes[-1].get_xticklabels()[-1].get_window_extent()
        assert last.x1 <= figure.bbox.x1


def test_panels_of_two_figures_can_share_a_scale():
    one = plot_wear_panel([curve("A", 240.0)], ["hard"])
    two = plot_wear_panel([curve("B", 900.0)], ["hard"])
    share_scales([*one, *two])
    assert one[0].get_xlim() == two[0].get_xlim()


def test_residuals_are_in_per_cent_about_zero():
    fit = curve("A", 240.0)
    ax = plot_residuals(fit)
    drawn = np.concatenate([line.get_ydata() for line in ax.lines if line.get_marker() != "None"])
    assert_allclose(np.sort(drawn), np.sort(100 * fit.residuals))


def test_figures_are_the_same_bytes_each_time():
    def draw():
        return svg_bytes(plot_wear_panel(lives(), TREATMENTS, limit=12.0)[0].figure)

    assert draw() == draw()
