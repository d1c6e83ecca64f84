"""Lives and their ratio: screen and paper hold the same numbers."""

import pytest

from edgetest.report.figures.comparison_figures import plot_lives, plot_ratio
from edgetest.report.figures.life_rows import life_rows, ratio_rows
from edgetest.report.figures.lives_screen import lives_on_screen, ratio_on_screen
from edgetest.report.figures.screen_spec import ARROW
from tests.report.stand_ins import TREATMENTS, comparison, curve, lines_at, lives

READING = "edge_width_um"
NUMBERS = comparison().to_dict()


def rows_of(shown):
    return shown.spec["data"]["values"]


def spans(ax, place):
    """Interval and mark of a row on paper."""
    lines = lines_at(ax, place)
    interval = next(tuple(line.get_xdata()) for line in lines if len(line.get_xdata()) == 2)
    mark = [line for line in lines if len(line.get_xdata()) == 1 and line.get_marker() != ">"]
    return interval, (mark[0].get_xdata()[0] if mark else None), mark


def test_every_life_and_interval_is_that_of_the_paper():
    blades, groups = lives(), NUMBERS["groups"]
    ax = plot_lives(blades, TREATMENTS, groups=groups)
    rows = rows_of(lives_on_screen(life_rows(blades, TREATMENTS, groups, READING)))
    names = [label.get_text() for label in ax.get_yticklabels()]
    assert [row["name"] for row in rows] == names
    for place, row in enumerate(rows):
        interval, value, _ = spans(ax, place)
        assert (row["start"], row["stop"]) == pytest.approx(interval, rel=1e-5)
        assert row["at"] == pytest.approx(value, rel=1e-5)
    assert rows[3]["says"] == "252 (221 to 287)"
    assert [row["all"] for row in rows] == [False, False, False, True] * 2
    assert len({row["shape"] for row in rows}) == len({row["colour"] for row in rows}) == 3


def test_open_ends_are_arrows_and_extrapolated_marks_hollow_on_both():
    blades = [curve("A", 300.0), curve("B", 700.0, censored=True)]
    ax = plot_lives(blades, ["hard", "hard"])
    rows = rows_of(lives_on_screen(life_rows(blades, ["hard", "hard"], (), READING)))
    assert [row["open"] for row in rows] == [False, True]
    arrows = [line for line in ax.lines if line.get_marker() == ">"]
    assert [line.get_xdata()[0] for line in arrows] == [pytest.approx(rows[1]["stop"], rel=1e-5)]
    for place, row in enumerate(rows):
        _, _, mark = spans(ax, place)
        assert row["hollow"] == (mark[0].get_markerfacecolor() == "#ffffff")
    assert rows[1]["says"] == "700 (660 or more)"


def test_one_blade_of_a_heat_treatment_is_drawn_once_and_never_as_the_heat_treatment():
    groups = [{"treatment": "hard", "blades": ["A"], "life": {"cuts": 300, "low": 1, "high": 2}}]
    rows = life_rows([curve("A", 300.0)], ["hard"], groups, READING)
    assert [(row.name, row.of_all) for row in rows.rows] == [("A", False)]
    assert rows.shows == "life of each blade"
    alone = life_rows([], [], groups, READING)  # where its blades follow further down
    assert [(row.name, row.of_all) for row in alone.rows] == [("A", True)]
    more = [{"treatment": "soft", "blades": ["B", "C"], "life": groups[0]["life"]}, *groups]
    curves = [curve(name, 300.0) for name in "ABC"]
    rows = life_rows(curves, ["hard", "soft", "soft"], more, READING)
    assert [row.name for row in rows.rows] == ["B", "C", "soft", "A"]
    assert rows.shows.endswith("shaded, of each heat treatment with several")
    assert life_rows(lives(), TREATMENTS, NUMBERS["groups"], READING).shows == (
        "life of each blade and, shaded, of each heat treatment"
    )


def test_a_ratio_of_blades_goes_by_their_ids():
    groups = [{"treatment": name, "blades": [id_]} for name, id_ in (("hard", "A"), ("soft", "B"))]
    both = {**NUMBERS, "first": "hard", "second": "soft", "groups": groups, "scope": "blades"}
    assert [row.name for row in ratio_rows(both).rows] == ["B : A"]


def test_the_screen_has_a_layer_for_arrows_and_hollow_marks():
    blades = [curve("A", 300.0), curve("B", 700.0, censored=True)]
    layers = lives_on_screen(life_rows(blades, ["hard", "hard"], (), READING)).spec["layer"]
    arrows = [one for one in layers if one.get("transform") == [{"filter": "datum.open"}]]
    assert [(one["mark"]["shape"], one["encoding"]["x"]["field"]) for one in arrows] == [
        (ARROW, "stop")
    ]
    marks = [one for one in layers if "shape" in one.get("encoding", {})]
    assert [one["encoding"]["fill"]["condition"]["test"] for one in marks] == ["datum.hollow"]


def test_a_group_without_ends_has_no_mark_on_either():
    group = {"treatment": "hard", "life": {"cuts": 50.0, "low": None, "high": None}}
    rows = rows_of(lives_on_screen(life_rows([curve("A", 300.0)], ["hard"], [group], READING)))
    assert rows[1]["at"] is None
    assert rows[1]["says"] == "not known"


def test_the_ratio_its_interval_and_its_margin_are_those_of_the_paper():
    ax, shown = plot_ratio(NUMBERS), ratio_on_screen(ratio_rows(NUMBERS))
    (row,) = rows_of(shown)
    interval, value, _ = spans(ax, 0)
    assert (row["start"], row["stop"], row["at"]) == pytest.approx((*interval, value), rel=1e-5)
    assert row["says"] == "1.41 (1.21 to 1.63)"
    strip = shown.spec["layer"][0]["data"]["values"][0]
    corners = ax.patches[0].get_extents().transformed(ax.transData.inverted())
    assert (strip["a"], strip["b"]) == pytest.approx((corners.x0, corners.x1), rel=1e-5)
    assert shown.spec["layer"][1]["data"]["values"] == [{"a": 1}]


def test_boxes_show_and_hide_heat_treatments_where_there_are_two():
    rows = life_rows(lives(), TREATMENTS, NUMBERS["groups"], READING)
    assert [one.name for one in lives_on_screen(rows).switches] == [
        "Temper 200 °C",
        "Temper 180 °C",
    ]
    alone = life_rows([curve("A", 300.0)], ["hard"], (), READING)
    assert lives_on_screen(alone).switches == ()
    assert lives_on_screen(alone).spec["transform"] == []
