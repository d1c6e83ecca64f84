"""Figures are told by what stands on their Axes."""

from types import SimpleNamespace

import numpy as np
from numpy.testing import assert_allclose

from edgetest.report.figures.comparison_figures import (
    plot_comparison,
    plot_lives,
    plot_power,
    plot_ratio,
)
from edgetest.report.figures.photo_figures import plot_scale, plot_width_along_edge
from edgetest.report.figures.plot_style import svg_bytes
from edgetest.report.figures.wear_figures import (
    plot_residuals,
    plot_wear,
    plot_wear_panel,
    share_scales,
)
from tests.report.stand_ins import TREATMENTS, comparison, curve, lives, measurement


def lines_at(ax, y):
    heights = [np.asarray(line.get_ydata()) for line in ax.lines]
    return [line for line, h in zip(ax.lines, heights, strict=True) if h.size and np.all(h == y)]


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
        noted(value=30.0, excluded=True), noted(upper=11.0, run="K3"),
    ]  # fmt: skip
    ax = plot_wear(fit, readings=readings)
    new = [line for line in ax.lines if len(line.get_xdata()) and line.get_xdata()[0] == 150.0]
    drawn = {(line.get_marker(), tuple(map(float, line.get_ydata()))) for line in new}
    assert drawn == {("v", (7.0,)), ("^", (9.0,)), ("_", (4.0, 5.0)), ("x", (30.0,))}


def test_panel_gives_all_blades_one_scale_in_groups():
    blades = [curve("A", 240.0), curve("B", 700.0), curve("C", 300.0)]
    axes = plot_wear_panel(blades, ["hard", "soft", "hard"], limit=12.0)
    assert [ax.get_title(loc="left") for ax in axes] == ["A", "C", "B"]
    assert len({ax.get_xlim() for ax in axes}) == len({ax.get_ylim() for ax in axes}) == 1
    names = [text.get_text() for text in axes[0].figure.texts]
    assert names == ["hard", "soft"]


def test_panels_of_two_figures_can_share_a_scale():
    one = plot_wear_panel([curve("A", 240.0)], ["hard"])
    two = plot_wear_panel([curve("B", 900.0)], ["hard"])
    share_scales([*one, *two])
    assert one[0].get_xlim() == two[0].get_xlim()


def test_lives_show_every_blade_and_heat_treatment():
    blades = lives()
    groups = comparison().to_dict()["groups"]
    ax = plot_lives(blades, TREATMENTS, groups=groups)
    labels = [label.get_text() for label in ax.get_yticklabels()]
    assert labels == ["A1", "A2", "A3", "Temper 200 °C", "B1", "B2", "B3", "Temper 180 °C"]
    for row, (low, high) in {0: (240 / 1.06, 240 * 1.06), 3: (221.0, 287.0)}.items():
        spans = [line.get_xdata() for line in lines_at(ax, row) if len(line.get_xdata()) == 2]
        assert_allclose(spans[0], (low, high))
    assert ax.get_xlabel() == "life to 12 µm edge width (cuts, log scale)"


def test_life_without_upper_end_is_an_arrow_at_the_frame():
    blades = [curve("A", 300.0), curve("B", 700.0, censored=True)]
    ax = plot_lives(blades, ["hard", "hard"])
    arrows = [line for line in ax.lines if line.get_marker() == ">"]
    assert [tuple(line.get_xdata()) for line in arrows] == [(ax.get_xlim()[1],)]


def test_ratio_shows_interval_equality_and_margin():
    ax = plot_ratio(comparison())
    spans = [tuple(line.get_xdata()) for line in lines_at(ax, 0)]
    assert (1.212, 1.629) in spans
    assert (1.405,) in spans
    assert any(set(line.get_xdata()) == {1} for line in ax.lines)
    corners = ax.patches[0].get_extents().transformed(ax.transData.inverted())
    assert_allclose((corners.x0, corners.x1), (1 / 1.1, 1.1))
    assert ax.get_xscale() == "log"
    assert ax.get_yticklabels()[0].get_text() == "Temper 180 °C : Temper 200 °C"


def test_comparison_of_several_has_a_row_a_pair():
    numbers = comparison().to_dict()
    pair = {"first": "a", "second": "b", "ratio": {"estimate": 1.2, "low": 1.0, "high": 1.5}}
    numbers = numbers | {"pairs": [pair, pair | {"second": "c"}]}
    _, ratio = plot_comparison(numbers, lives(), TREATMENTS)
    assert [label.get_text() for label in ratio.get_yticklabels()] == ["b : a", "c : a"]


def test_power_is_in_per_cent_with_the_wanted_line():
    ax = plot_power([2, 3, 4], [[0.3, 0.6, 0.85], [0.1, 0.2, 0.4]], labels=["20 %", "10 %"])
    assert_allclose(ax.lines[0].get_ydata(), [30, 60, 85])
    assert any(np.all(np.asarray(line.get_ydata()) == 80) for line in ax.lines)
    styles = {(line.get_marker(), line.get_linestyle()) for line in ax.lines[:2]}
    assert len(styles) == 2


def test_residuals_are_in_per_cent_about_zero():
    fit = curve("A", 240.0)
    ax = plot_residuals(fit)
    drawn = np.concatenate([line.get_ydata() for line in ax.lines if line.get_marker() != "None"])
    assert_allclose(np.sort(drawn), np.sort(100 * fit.residuals))


def test_width_along_edge_leaves_out_what_was_left_out():
    measured = measurement((480, 640), 12.0, 0.5)
    measured.width_um = SimpleNamespace(mean=6.0, low=5.9, high=6.1)
    ax = plot_width_along_edge(measured)
    width = ax.lines[0].get_ydata()
    assert np.array_equal(np.isfinite(width), measured.used)
    assert_allclose(width[measured.used], 6.0)
    assert ax.get_ylabel() == "edge width (µm)"


def test_scale_shows_its_interval_and_the_files_own():
    axis = SimpleNamespace(um_per_px=0.501, relative_u=0.001, rotation_deg=3.2, lines_used=41)
    scale = SimpleNamespace(um_per_px=0.5, low=0.499, high=0.501, axes=(axis,))
    ax = plot_scale(scale, um_per_px_in_file=0.55)
    labels = [label.get_text() for label in ax.get_yticklabels()]
    assert labels == ["scale", "41 lines, across 3.2°", "stored in the file"]
    assert_allclose(lines_at(ax, 0)[0].get_xdata(), (0.499, 0.501))
    assert_allclose(lines_at(ax, 2)[0].get_xdata(), [0.55])


def test_figures_are_the_same_bytes_each_time():
    def draw():
        return svg_bytes(plot_wear_panel(lives(), TREATMENTS, limit=12.0)[0].figure)

    assert draw() == draw()
