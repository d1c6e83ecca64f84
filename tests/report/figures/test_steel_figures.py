"""Figures of a verdict: chances, what was done in each heat, carbon and hardness of a case."""

import shutil
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from edgetest.report.figures.plot_style import svg_bytes
from edgetest.report.figures.steel_figures import (
    plot_case,
    plot_cases,
    plot_chances,
    plot_heats,
    plot_verdict,
)
from edgetest.report.wording import chance_words
from edgetest.store.places import shipped
from edgetest.study.steel.judge_steel import judge_steel


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    folder = tmp_path_factory.mktemp("run") / "plough_disc_study"
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", folder)
    return judge_steel(folder, workers=1)


def test_case_draws_profile_target_and_ground_faces(result):
    name, case = result.cases[1]
    carbon, hardness = plot_case(case, title=name)
    line = carbon.lines[0]
    np.testing.assert_array_equal(line.get_xdata(), case.depth_mm)
    np.testing.assert_array_equal(line.get_ydata(), case.carbon_pct[1])
    np.testing.assert_array_equal(hardness.lines[0].get_ydata(), case.tempered_hrc[1])
    faces = [line.get_xdata()[0] for line in carbon.lines[2:]]
    assert faces == list(case.ground_mm)
    assert carbon.lines[1].get_ydata()[0] == case.target_pct
    assert hardness.lines[1].get_ydata()[0] == case.wanted.hardness_hrc
    drawn = [line.get_ydata() for line in hardness.lines]
    for band in (case.hardness_hrc[1], case.austenite_pct[1]):  # as quenched; retained austenite
        assert any(np.array_equal(line, band) for line in drawn)
    assert carbon.get_title(loc="left") == "plunge"
    labels = carbon.get_ylabel(), hardness.get_ylabel()
    assert labels == ("carbon\n(%)", "HRC;\naustenite (%)")
    assert "mm" in hardness.get_xlabel()


def test_an_unground_section_has_no_ground_faces(result):
    edge = result.cases[0][1]
    case = replace(edge, plate=replace(edge.plate, removed_mm=(0.0, 0.0)))
    carbon, _ = plot_case(case)
    assert len(carbon.lines) == 2


def test_chances_draw_what_the_result_holds_likeliest_first(result):
    ax = plot_chances(result.families())
    widths = [bar.get_width() for bar in ax.patches]
    own = [p for *_, p in result.families() if p >= 0.01]
    assert widths[:-1] == pytest.approx(own)
    assert own == sorted(own, reverse=True)
    assert sum(widths) == pytest.approx(1.0)
    assert [text.get_text() for text in ax.texts] == [chance_words(p) for p in widths]
    assert ax.get_yticklabels()[-1].get_text() == "all others"


@pytest.mark.parametrize(
    ("shares", "drawn"),
    [
        ((0.75, 0.19, 0.06), [0.75, 0.19, 0.06]),
        ((0.75, 0.2, 0.03, 0.02), [0.75, 0.2, 0.05]),  # of many, small ones go together
        ((0.4, 0.3, 0.2, 0.1), [0.4, 0.3, 0.2, 0.1]),
        ((0.9, 0.06, 0.035, 0.005), [0.9, 0.06, 0.035, 0.005]),
    ],
)
def test_small_chances_of_many_are_one_bar(shares, drawn):
    ax = plot_chances([(f"k{i}", f"kind {i}", p) for i, p in enumerate(shares)])
    assert [bar.get_width() for bar in ax.patches] == pytest.approx(drawn)


def test_heats_draw_one_bar_each_cut_into_its_chances(result):
    heats = result.asked.belief.heats
    ax = plot_heats(heats)
    assert [t.get_text() for t in ax.get_yticklabels()] == [f"{h.coupon}, heat 1" for h in heats]
    for y, heat in enumerate(heats):
        own = [bar for bar in ax.patches if abs(bar.get_y() + bar.get_height() / 2 - y) < 0.1]
        assert [bar.get_width() for bar in own] == pytest.approx(list(heat.chances.values()))


def test_the_verdict_draws_families_explanations_and_heats(result):
    assert len(plot_verdict(result).figure.axes) == 3


def test_on_a_phone_s_width_the_verdict_s_parts_stand_one_below_the_other_uncut(result):
    figure = plot_verdict(result, width_in=3.7).figure
    svg_bytes(figure)  # lays it out
    boxes = [ax.get_position() for ax in figure.axes]
    tops = sorted((box.y1 for box in boxes), reverse=True)
    assert len(boxes) == 3
    assert all(above - below > 0.15 for above, below in pairwise(tops))
    for ax in figure.axes:
        drawn = ax.get_tightbbox().transformed(figure.dpi_scale_trans.inverted())
        assert drawn.x0 > -0.01
        assert drawn.x1 < 3.71


def test_a_pack_draws_two_sections_at_most(result):
    sections = [*result.cases, ("third", result.cases[0][1])]
    assert len(plot_cases(sections).figure.axes) == 4  # carbon over hardness of two sections
    assert len(plot_cases(sections[:1]).figure.axes) == 2


def test_the_longest_chance_stands_clear_of_the_panel_s_end(result):
    rows = [("a", "hard, keen edges", 0.995), ("b", "struck tools", 0.004)]
    ax = plot_chances(rows)
    ax.figure.canvas.draw()
    label = ax.texts[0].get_window_extent()
    assert label.x1 < ax.get_window_extent().x1
