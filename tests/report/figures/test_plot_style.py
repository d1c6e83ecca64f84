"""The look: series that stay apart for every eye, in grey, and in bytes."""

from itertools import combinations

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from edgetest.report.figures.plot_style import (
    ACCENT,
    GREY,
    INK,
    PAPER,
    SERIES,
    axis_label,
    drawn_in_look,
    log_ticks,
    png_bytes,
    reading_words,
    svg_bytes,
)

# Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298,
# severity 1.0, applied to linear RGB; from memory, each row sums to 1 as it must.
DICHROMATS = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
               [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
               [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
               [0.004733, 0.691367, 0.303900]],
}  # fmt: skip
TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)  # IEC 61966-2-1
WHITE = TO_XYZ.sum(axis=1)


def linear(colour):
    c = np.array(to_rgb(colour))
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    """CIE L*a*b* of linear RGB."""
    t = (TO_XYZ @ np.clip(rgb, 0, 1)) / WHITE
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(one, other):
    """Contrast ratio of WCAG 2, success criterion 1.4.3."""
    a, b = sorted(float(linear(c) @ [0.2126, 0.7152, 0.0722]) for c in (one, other))
    return (b + 0.05) / (a + 0.05)


@pytest.mark.parametrize("eye", DICHROMATS)
def test_series_stay_apart_for_colour_blind_eyes(eye):
    seen = [lab(np.array(DICHROMATS[eye]) @ linear(s.colour)) for s in SERIES]
    nearest = min(np.linalg.norm(a - b) for a, b in combinations(seen, 2))
    assert nearest > 8  # 2.3 is just seen side by side; markers and lines differ as well


def test_first_two_series_stay_apart_in_a_photocopy():
    lightness = [lab(linear(s.colour))[0] for s in SERIES]
    assert abs(lightness[0] - lightness[1]) > 25


def test_no_two_series_share_marker_or_line():
    assert len({s.marker for s in SERIES}) == len({s.line for s in SERIES}) == len(SERIES)


@pytest.mark.parametrize("colour", [INK, GREY, ACCENT])
def test_letters_have_contrast_aa(colour):
    assert contrast(colour, PAPER) >= 4.5


def test_reading_says_its_unit():
    assert axis_label("edge_width_um") == "edge width (µm)"
    assert axis_label("sever_force_gf") == "thread severing force (gf)"
    assert reading_words("paper_grade") == ("paper grade", "")


@pytest.mark.parametrize(("low", "high"), [(0.8, 1.8), (210, 420), (30, 3000), (0.95, 1.06)])
def test_log_ticks_lie_inside(low, high):
    ticks = log_ticks(low, high)
    assert ticks
    assert all(low <= t <= high for t in ticks)


def test_svg_is_the_same_each_time():
    def draw():
        ax = Figure(figsize=(3, 2)).subplots()
        ax.plot([1, 2, 3], label="µm")
        ax.legend()
        return svg_bytes(ax.figure)

    assert draw() == draw()


def test_look_is_put_away_after_drawing():
    import matplotlib

    before = dict(matplotlib.rcParams)
    drawn_in_look(lambda: Figure().subplots())()
    assert dict(matplotlib.rcParams) == before


@pytest.mark.parametrize("name", ["$\\frac{1$", "100 $ and 200 $ \\int", "$x^2$"])
def test_a_name_with_dollar_signs_is_drawn_as_it_was_typed(name):
    """As maths it would be another text, or none that can be drawn."""

    @drawn_in_look
    def plot():
        ax = Figure().subplots()
        ax.set_title(name)
        ax.set_yticks([0, 1], [name, "b"])
        return ax

    ax = plot()
    assert svg_bytes(ax.figure)
    assert png_bytes(ax.figure)
    assert not ax.title.get_parse_math()
    assert not any(label.get_parse_math() for label in ax.get_yticklabels())
