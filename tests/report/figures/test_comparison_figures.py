"""Figures of a comparison are told by what stands on their Axes."""

import numpy as np
from numpy.testing import assert_allclose

from edgetest.report.figures.comparison_figures import (
    plot_comparison,
    plot_lives,
    plot_power,
    plot_ratio,
)
from edgetest.report.figures.figure_titles import longer_above
from tests.report.stand_ins import TREATMENTS, comparison, curve, lines_at, lives
from tests.wear.columns import compare_lives


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
    assert_allclose(ax.lines[1].get_ydata(), [30, 60, 85])
    styles = (
        {line.get_marker() for line in ax.lines[1:4:2]},
        {line.get_linestyle() for line in ax.lines[:4:2]},
    )
    assert [len(each) for each in styles] == [2, 2]


def test_the_longer_one_stands_above_the_other_as_the_sentences_say():
    lives = np.log([300, 310, 305, 200, 205, 210.0])
    found = compare_lives(range(6), list("AAABBB"), lives).to_dict()
    turned = longer_above(found)
    assert (turned["second"], turned["first"]) == ("A", "B")
    assert turned["ratio"]["estimate"] == 1 / found["ratio"]["estimate"]
    assert turned["ratio"]["low"] == 1 / found["ratio"]["high"]
    assert turned["practical"]["verdict"] == "longer"
    assert turned["probability_longer"] == 1 - found["probability_longer"] > 0.9
    assert found["chances"]["words"]["longer"] == "very unlikely"
    assert turned["chances"]["words"]["longer"] == "very likely"
    assert longer_above(turned) == turned


def test_a_heat_treatment_open_at_both_ends_has_no_mark_between_them():
    group = {"treatment": "hard", "life": {"cuts": 50.0, "low": None, "high": None}}
    ax = plot_lives([curve("A", 300.0)], ["hard"], groups=[group])
    assert not [line for line in lines_at(ax, 1) if line.get_marker() == "D"]
    group["life"]["low"] = 40.0
    ax = plot_lives([curve("A", 300.0)], ["hard"], groups=[group])
    assert [line for line in lines_at(ax, 1) if line.get_marker() == "D"]


def test_of_several_every_pair_has_the_longer_one_above():
    lives = np.log([340, 360, 322, 300, 250, 281, 200, 170, 186.0])
    found = compare_lives(range(9), list("AAABBBCCC"), lives).to_dict()
    turned = longer_above(found)["pairs"]
    assert [(pair["second"], pair["first"]) for pair in turned[:3]] == [
        ("A", "B"), ("A", "C"), ("B", "C"),
    ]  # fmt: skip
    assert all(pair["ratio"]["low"] > 1 and pair["verdict"] == "longer" for pair in turned)


def test_a_simulated_chance_stands_with_the_bar_of_its_simulation():
    ax = plot_power([6, 24], [0.3, 0.78], standard_errors=[0.0, 0.02])
    (bars,) = ax.collections
    assert np.ptp(bars.get_segments()[0][:, 1]) == 0
    assert_allclose(bars.get_segments()[1][:, 1], [74.08, 81.92])
    assert not plot_power([6, 24], [0.3, 0.78], standard_errors=[0, 0]).collections


def test_the_line_of_simulated_chances_goes_through_them_and_not_through_each():
    ax = plot_power([3, 6], [0.55, 0.78], standard_errors=[0.03, 0.03], through=[0.5, 0.82])
    assert_allclose(ax.lines[0].get_ydata(), [50, 82])
    assert_allclose(ax.lines[1].get_ydata(), [55, 78])
