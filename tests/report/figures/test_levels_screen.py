"""The ratio of lives to other limits: screen and paper hold the same numbers."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.report.figures.comparison_figures import plot_ratio_by_limit
from edgetest.report.figures.level_marks import level_band
from edgetest.report.figures.levels_screen import levels_on_screen

LEVELS = [
    {"limit": 9.0, "estimate": 1.3, "low": 1.1, "high": 1.6},
    {"limit": 6.0, "estimate": 1.2, "low": None, "high": 1.5},
    {"limit": 12.0, "estimate": 1.4, "low": 1.2, "high": None},
]
TOLD = {"limit": 12.0, "reading": "edge_width_um", "pair": ("Straw", "Purple")}


@pytest.fixture
def ax():
    return plot_ratio_by_limit(LEVELS, **TOLD)


@pytest.fixture
def spec():
    return levels_on_screen(level_band(LEVELS, **TOLD)).spec


def test_ratios_and_band_are_those_of_the_paper(ax, spec):
    rows = spec["data"]["values"]
    assert_allclose([(row["x"], row["y"]) for row in rows], ax.lines[0].get_xydata())
    corners = ax.collections[0].get_paths()[0].vertices
    for row in rows:
        for height in (row["l"], row["h"]):
            assert np.abs(corners - (row["x"], height)).max(axis=1).min() < 1e-5
    assert rows[1]["says"] == "to 9: 1.30 (1.10 to 1.60)"


def test_lines_and_axes_are_those_of_the_paper(ax, spec):
    told = [layer["data"]["values"][0] for layer in spec["layer"][:2]]
    assert told == [{"one": 1}, {"limit": 12.0}]
    assert {1} in [set(line.get_ydata()) for line in ax.lines]
    assert {12.0} in [set(line.get_xdata()) for line in ax.lines]
    assert spec["encoding"]["x"]["title"] == ax.get_xlabel() == "limit: edge width (µm)"
    assert "\n".join(spec["encoding"]["y"]["title"]) == ax.get_ylabel()
    assert_allclose(spec["encoding"]["x"]["scale"]["domain"], ax.get_xlim(), rtol=1e-5)


def test_long_names_fit_beside_the_axis():
    """As tall as the picture: a name that runs past it is cut at both ends by the paper."""
    pair = ("“normalised three times, oil quenched, tempered 200 °C”",
            "“oil quenched, tempered 200 °C and again”")  # fmt: skip
    ax = plot_ratio_by_limit(LEVELS, **TOLD | {"pair": pair})
    ax.figure.canvas.draw()
    box = ax.yaxis.label.get_window_extent()
    assert box.y0 >= 0
    assert box.y1 <= ax.figure.bbox.height
    of, over = ax.get_ylabel().split("\n")[1:]
    assert of == "normalised three times,…"
    assert over == "over oil quenched, tempered…"
