"""Figures of photographs are told by what stands on their Axes."""

from types import SimpleNamespace

import numpy as np
from numpy.testing import assert_allclose

from edgetest.photo.tone_steps import tone_of_steps
from edgetest.report.figures.photo_figures import plot_scale, plot_tone, plot_width_along_edge
from tests.report.stand_ins import lines_at, measurement


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


def test_tone_shows_curve_steps_and_srgb():
    light = 0.9 * 0.6 ** np.arange(9)
    steps = tone_of_steps(light ** (1 / 1.8), light)
    srgb, curve, points = plot_tone(steps).get_lines()
    assert (srgb.get_label(), curve.get_label(), points.get_label()) == (
        "sRGB", "this camera", "grey steps",
    )  # fmt: skip
    assert_allclose(curve.get_ydata(), 100 * np.array(steps.curve))
    assert_allclose(points.get_xdata(), 100 * np.sort(light ** (1 / 1.8)), atol=1e-3)
    assert_allclose(np.interp(points.get_xdata(), *curve.get_data()), points.get_ydata(), atol=0.1)
