"""All wear curves on one pair of axes: paper and screen hold the same numbers."""

import json
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.colors import to_hex
from numpy.testing import assert_allclose

from edgetest.report.figures.plot_style import SERIES
from edgetest.report.figures.screen_spec import SHAPES
from edgetest.report.figures.screen_style import NAMED
from edgetest.report.figures.wear_figures import plot_wear_panel
from edgetest.report.figures.wear_screen import wear_on_screen
from edgetest.report.figures.wear_together import plot_wear_together, wear_together
from edgetest.report.wording import begun_words
from tests.report.stand_ins import curve

LIMIT = 12.0
BLADES = [curve("A", 240.0), curve("B", 700.0), curve("C", 5000.0), curve("D", 300.0)]
KINDS = ["hard", "soft", "hard", "soft"]


def noted(run, *, value=np.nan, lower=np.nan, upper=np.nan, excluded=False):
    return SimpleNamespace(
        run=run, cuts=150.0, value=value, lower=lower, upper=upper, excluded=excluded
    )


NOTED = [
    noted("A", upper=7.0), noted("A", lower=9.0), noted("B", lower=4.0, upper=5.0),
    noted("D", value=11.0, excluded=True),
]  # fmt: skip


@pytest.fixture
def drawn():
    return wear_together(BLADES, KINDS, limit=LIMIT, readings=NOTED)


@pytest.fixture
def ax(drawn):
    return plot_wear_together(drawn)


@pytest.fixture
def screen(drawn):
    return wear_on_screen(drawn).spec["data"]["values"]


def of(rows, blade, *kinds):
    return [row for row in rows if row["b"] == blade and row["k"] in kinds]


def on_paper(ax, points):
    """Lines of the Axes of so many points, by colour, in the order drawn."""
    return [line for line in ax.lines if len(line.get_xdata()) == points]


def bands(ax):
    """Corners of the bands, in the order drawn."""
    return [area.get_paths()[0].vertices for area in ax.collections]


ORDER = ["A", "C", "B", "D"]  # heat treatment by heat treatment
BEYOND = ["C", "B"]  # those whose life lies beyond the last stage


def test_the_screen_has_the_points_of_the_paper_s_curves_and_bands(ax, screen):
    inside, beyond = on_paper(ax, 160), on_paper(ax, 60)
    assert not any(line.is_dashed() for line in inside)
    assert all(line.is_dashed() for line in beyond)
    for kind, lines, blades in (("in", inside, ORDER), ("out", beyond, BEYOND)):
        assert len(lines) == len(blades)
        for line, blade in zip(lines, blades, strict=True):
            rows = of(screen, blade, kind)
            paper = np.asarray(line.get_xydata())
            assert len(rows) < 0.5 * len(paper)
            for row in rows:
                near = paper[np.abs(paper[:, 0] - row["x"]).argmin()]
                assert_allclose((row["x"], row["y"]), near, rtol=1e-5)
            ends = [line.get_xdata()[0], line.get_xdata()[-1]]
            assert_allclose([rows[0]["x"], rows[-1]["x"]], ends, rtol=1e-5)
    corners = np.concatenate(bands(ax))
    for blade in ORDER:
        for row in of(screen, blade, "in", "out")[::7]:
            for height in (row["l"], row["h"]):
                gap = np.abs(corners - (row["x"], height)).max(axis=1)
                assert gap.min() < 0.006


def test_lives_intervals_arrows_and_hollow_marks_are_on_both(ax, screen):
    at_limit = [line for line in ax.lines if set(np.asarray(line.get_ydata())) == {LIMIT}]
    bars = [tuple(map(float, line.get_xdata())) for line in at_limit
            if len(line.get_xdata()) == 2 and tuple(line.get_xdata()) != (0, 1)]  # fmt: skip
    rows = [(row["x"], row["h"]) for row in screen if row["k"] == "bar"]
    assert_allclose(sorted(rows), sorted(bars), rtol=1e-5)
    ends = [float(line.get_xdata()[0]) for line in at_limit if line.get_marker() == "|"]
    told = [row["x"] for row in screen if row["k"] == "end"]
    assert_allclose(sorted(told), sorted(ends), rtol=1e-5)
    arrows = [float(line.get_xdata()[0]) for line in at_limit if line.get_marker() == ">"]
    assert arrows == [row["x"] for row in screen if row["k"] == "arrow"] == [1200.0]
    marks = {
        float(line.get_xdata()[0]): to_hex(line.get_markerfacecolor()) == "#ffffff"
        for line in at_limit
        if line.get_marker() in {look.marker for look in SERIES}
    }
    assert marks == {row["x"]: row["m"] == "hollow" for row in screen if row["k"] == "life"}
    assert marks == {240.0: False, 700.0: True, 300.0: False}
    assert of(screen, "A", "life")[0]["s"] == "life 240 (226 to 254) cuts"


def test_means_bounds_and_what_was_left_out_are_on_both(ax, screen):
    paper = [line for line in ax.lines if line.get_marker() in "os" and len(line.get_xdata()) == 9]
    for line, blade in zip(paper, ORDER, strict=True):
        rows = of(screen, blade, "mean")
        assert_allclose([(row["x"], row["y"]) for row in rows], line.get_xydata(), rtol=1e-5)
    told = {(row["b"], row["m"], row["l"], row["h"]) for row in screen if row["k"] == "noted"}
    assert told == {
        ("A", "at most", 7.0, 7.0), ("A", "at least", 9.0, 9.0), ("B", "between", 4.0, 5.0),
        ("D", "left out", 11.0, 11.0),
    }  # fmt: skip
    markers = [line.get_marker() for line in ax.lines if 150.0 in line.get_xdata()
               and len(line.get_xdata()) <= 2]  # fmt: skip
    assert sorted(markers) == ["^", "_", "v", "x"]


def test_heat_treatments_differ_by_shape_and_colour_in_the_order_asked_for():
    drawn = wear_together(BLADES, KINDS, limit=LIMIT, order=["soft", "hard"])
    spec = wear_on_screen(drawn).spec
    scales = [layer["encoding"]["shape"]["scale"] for layer in spec["layer"]
              if "field" in layer.get("encoding", {}).get("shape", {})]  # fmt: skip
    assert scales
    for scale in scales:
        assert scale["domain"] == ["soft", "hard"]
        assert scale["range"] == [SHAPES["o"], SHAPES["s"]]
    assert {NAMED.series[0], NAMED.series[1]} <= set(_strings(spec))
    legend = plot_wear_together(drawn).get_legend()
    assert [text.get_text() for text in legend.get_texts()] == ["soft", "hard"]


def _strings(part):
    if isinstance(part, dict):
        part = part.values()
    for each in part:
        if isinstance(each, (dict, list, tuple)):
            yield from _strings(each)
        elif isinstance(each, str):
            yield each


def test_the_limit_line_is_on_both(ax, drawn):
    assert any(
        set(line.get_ydata()) == {LIMIT} and list(line.get_xdata()) == [0, 1] for line in ax.lines
    )
    rules = [layer for layer in wear_on_screen(drawn).spec["layer"]
             if layer.get("data", {}).get("values") == [{"limit": LIMIT}]]  # fmt: skip
    assert [rule["mark"]["type"] for rule in rules] == ["rule", "text"]
    assert rules[1]["mark"]["text"] == "limit 12 µm"


def test_the_screen_has_a_layer_for_all_that_is_drawn(drawn):
    layers = wear_on_screen(drawn, singly=True).spec["layer"]

    def of_kind(kind, mark):
        words = (f'"{kind}"', f"'{kind}'")
        return [
            layer
            for layer in layers
            if layer["mark"]["type"] == mark
            and layer["mark"].get("opacity") != 0
            and any(word in json.dumps(layer.get("transform", ())) for word in words)
        ]

    for kind, mark in (
        ("in", "area"), ("in", "line"), ("out", "area"), ("out", "line"), ("mean", "point"),
        ("reading", "point"), ("bar", "rule"), ("end", "point"), ("arrow", "point"),
        ("life", "point"), ("left out", "point"), ("at least", "point"), ("at most", "point"),
        ("between", "rule"),
    ):  # fmt: skip
        assert of_kind(kind, mark), (kind, mark)
    dashes = of_kind("out", "line")[0]["encoding"]["strokeDash"]["condition"]
    assert (dashes["test"], dashes["value"]) == ("datum.k=='out'", [5, 4])
    hollow = of_kind("life", "point")[0]["encoding"]["fill"]["condition"]
    assert hollow == {"test": "datum.m=='hollow'", "value": NAMED.paper}
    assert of_kind("left out", "point")[0]["mark"]["color"] == NAMED.grey


def test_a_box_for_each_heat_treatment_and_blade_and_all_are_in_the_filter(drawn):
    shown = wear_on_screen(drawn)
    assert [(one.name, one.heads) for one in shown.switches] == [
        ("hard", True), ("A", False), ("C", False), ("soft", True), ("B", False), ("D", False),
    ]  # fmt: skip
    seen = shown.spec["transform"][0]["filter"]
    assert seen == "[all_0&&one_0,all_0&&one_1,all_1&&one_2,all_1&&one_3][datum.i]"


def test_one_blade_shows_its_readings_by_station():
    alone = wear_together([BLADES[0]], ["hard"], limit=LIMIT)
    rows = wear_on_screen(alone, singly=True).spec["data"]["values"]
    readings = [row for row in rows if row["k"] == "reading"]
    assert sorted(row["y"] for row in readings) == pytest.approx(sorted(BLADES[0].value), rel=1e-5)
    assert {row["s"] for row in readings} == {"station 10", "station 25", "station 40"}
    assert wear_on_screen(alone).switches == ()


def test_what_is_drawn_has_room_up_to_the_highest_mark(drawn):
    order = [BLADES["ABCD".index(one.marks.blade)] for one in drawn.blades]
    pairs = zip(order, drawn.blades, strict=True)
    highest = max(float(fit.predict(one.marks.end).high) for fit, one in pairs)
    assert drawn.tops.max() == pytest.approx(highest)


def test_twenty_blades_stay_light_enough_to_send():
    many = [curve(f"K{n}", 200.0 + 10 * n) for n in range(20)]
    shown = wear_on_screen(wear_together(many, ["hard", "soft"] * 10, limit=LIMIT))
    assert len(json.dumps(shown.spec)) < 200_000


def exploded(name):
    """A blade whose band has no upper end, and whose curve begins at 50 cuts."""
    plain = curve(name, 240.0)

    def predict(cuts):
        band = type(plain).predict(plain, cuts)
        return replace(band, high=np.where(band.cuts < 100, 1e251, band.high))

    shown = replace(plain, told_from=50.0)
    object.__setattr__(shown, "predict", predict)
    return shown


def test_a_band_that_explodes_does_not_flatten_the_curves():
    blades = [exploded("A"), curve("B", 300.0)]
    drawn = wear_together(blades, ["hard", "soft"], limit=LIMIT)
    marks = drawn.blades[0].marks
    assert marks.inside.cuts[0] == 50
    assert LIMIT < marks.top < 40
    assert plot_wear_together(drawn).get_ylim()[1] < 40
    assert drawn.tops.max() < 40
    for ax in plot_wear_panel(blades, ["hard", "soft"], limit=LIMIT):
        assert LIMIT < ax.get_ylim()[1] < 40
    starts = [(one.marks.blade, one.marks.inside.cuts[0]) for one in drawn.blades]
    assert begun_words(starts).endswith("begins with its first number: A at 50 cuts.")
    assert begun_words(starts[1:]) == ""
