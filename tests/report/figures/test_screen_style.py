"""A figure on a screen: its own shades, each of them standing out, letters as on paper."""

import re

import pytest

from edgetest.report.figures.plot_style import ACCENT, INK, PAPER, SERIES, narrow_svg_bytes
from edgetest.report.figures.plot_style import svg_bytes as drawn
from edgetest.report.figures.screen_style import DARK, LIGHT, on_screen
from edgetest.report.figures.wear_figures import plot_wear, plot_wear_panel
from tests.report.stand_ins import TREATMENTS, curve, lives


def luminance(colour):
    """Relative luminance of WCAG 2.2, from the W3C recommendation."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """Contrast ratio of WCAG 2.2."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("here", [LIGHT, DARK], ids=["light", "dark"])
def test_marks_and_words_stand_out_from_the_screen(here):
    assert len(here.series) == len(SERIES)
    assert min(contrast(colour, here.paper) for colour in here.series) >= 3
    assert min(contrast(words, here.paper) for words in (here.ink, here.grey, here.accent)) >= 4.5
    assert here.of(SERIES[1].colour) == here.series[1]


def shades(svg):
    """By name of a colour of a figure on the screen: what it is in the light and in the dark."""
    light, dark = re.search(rb"<style>svg{(.*?)}@media.*?svg{(.*?)}}", svg).groups()
    told = [dict(re.findall(r"--(c\d+):(#\w{6})", each.decode())) for each in (light, dark)]
    assert list(told[0]) == list(told[1])
    return {name: (told[0][name], told[1][name]) for name in told[0]}


def test_on_a_dark_screen_no_colour_of_the_paper_is_left():
    svg = drawn(plot_wear(curve("K2", 700.0)).figure)
    here = on_screen(svg)
    used = set(re.findall(r"#[0-9a-f]{6}\b", svg.decode()))
    assert {INK, PAPER, ACCENT, SERIES[0].colour} <= used
    light, dark = map(set, zip(*shades(here).values(), strict=True))
    assert light == used  # as on paper
    assert used & dark <= {"#000000"}  # letters without a colour of their own have none here either
    body = here[here.index(b"</style>") :]
    assert not re.search(rb"#[0-9a-f]{6}\b", body)
    for name in re.findall(rb"var\(--(c\d+)\)", body):
        assert name.decode() in shades(here)


def test_a_colour_of_no_series_changes_from_light_to_dark():
    told = shades(on_screen(b'<svg width="1"><path style="fill:#e9e2d5;stroke:#222222"/></svg>'))
    assert told["c0"][0] == "#e9e2d5"
    assert luminance(told["c0"][1]) < 0.1
    assert luminance(told["c1"][1]) > 0.3


def without_names(svg):
    return re.sub(rb'id="\w+"|url\(#\w+\)|(?<=\.\d{4})\d+', b"", svg)


def width_pt(svg):
    return float(re.search(rb'width="([\d.]+)pt"', svg)[1])


def test_the_narrow_drawing_is_narrow_and_leaves_the_figure_as_it_was():
    figure = plot_wear(curve("K2", 300.0)).figure
    before = drawn(figure)
    assert width_pt(narrow_svg_bytes(figure, 3.7)) == pytest.approx(3.7 * 72)
    # A clip is named by the last digit of its place; the fifth is no part of the picture.
    assert without_names(drawn(figure)) == without_names(before)


def test_a_figure_laid_out_in_inches_is_not_laid_out_anew():
    figure = plot_wear_panel(lives(), TREATMENTS)[0].figure
    assert narrow_svg_bytes(figure, 3.7) == drawn(figure)
