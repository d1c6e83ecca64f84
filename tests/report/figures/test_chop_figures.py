"""The drawing of a tool holds every label and mark, also where no outline is known."""

from dataclasses import replace

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from edgetest.report.documents.chopper_numbers import figure_rows
from edgetest.report.figures.chop_figures import plot_balance, plot_chops
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
blades = [{id = "H7"}]
[handling.H7]
mass_g = 690
balance_mm = 205
pivot_mm = 12
grip_mm = 60
strike_mm = 310
swings = 20
seconds = [20.9, 21.0, 20.8]
"""


def tool_of(tmp_path, study):
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
    rows = "".join(f"H7,billet,{n},{20 + n},50,50,white ash,12,b{n}\n" for n in (1, 2, 3))
    (tmp_path / "chops.csv").write_text(heading + rows, encoding="utf-8")
    return analyse_chops(open_chops(tmp_path))


@pytest.fixture
def no_outline(tmp_path):
    return tool_of(tmp_path, STUDY)


@pytest.mark.parametrize(
    ("slip", "place"),
    [
        (("swings = 20", "swings = 10"), "far beyond the strike point"),
        (("swings = 20", "swings = 10\nlength_mm = 320"), "beyond the tip"),
        (("balance_mm = 205", "balance_mm = 55"), "behind the butt"),
    ],
)
def test_a_percussion_centre_off_the_tool_is_withheld_with_its_reason(tmp_path, slip, place):
    result = tool_of(tmp_path, STUDY.replace(*slip))
    rows = {name: value for name, value, _ in figure_rows(result, "H7")}
    assert rows["Percussion centre from the butt: no kick there"] == f"nowhere: {place}"
    labels = [text.get_text() for text in plot_balance(result, "H7").texts]
    assert not any("percussion" in label for label in labels)
    assert any(f"percussion lies {place}" in one.text for one in result.doubts)
    assert f"percussion centre {place}" in result.tool("H7").balance.summary()


@pytest.mark.parametrize(("units", "end"), [("metric", " mm"), ("inch", " in"), ("both", " in)")])
def test_the_strike_at_the_end_of_the_tool_leaves_every_label_whole(no_outline, units, end):
    ax = plot_balance(no_outline, "H7", units=units)
    renderer, page = FigureCanvasAgg(ax.figure).get_renderer(), ax.figure.bbox
    labels = [text for text in ax.texts if text.get_text()]
    assert any("percussion centre" in text.get_text() for text in labels)
    for text in labels:
        box = text.get_window_extent(renderer)
        assert page.x0 <= box.x0, text.get_text()
        assert box.x1 <= page.x1, text.get_text()
    found = no_outline.tool("H7").balance.percussion_mm
    assert ax.get_xlim()[1] > found.high
    places = [text.get_text() for text in labels if " at " in text.get_text()]
    assert all(text.endswith(end) for text in places)
    assert all((" mm (" in text) == (units == "both") for text in places)


def test_labels_that_the_edge_of_the_picture_moves_do_not_run_into_each_other(tmp_path):
    short = "balance_mm = 241.3\ngrip_mm = 63.5\nstrike_mm = 304.8\n"
    untimed = STUDY.partition("mass_g")[0] + short
    ax = plot_balance(tool_of(tmp_path, untimed), "H7", units="inch")
    renderer = FigureCanvasAgg(ax.figure).get_renderer()
    grip, balance, strike = (
        next(text for text in ax.texts if text.get_text().startswith(words))
        for words in ("grip", "balance point", "strikes at")
    )
    boxes = [text.get_window_extent(renderer) for text in (grip, balance, strike)]
    assert not boxes[1].overlaps(boxes[2])
    assert boxes[2].y1 <= boxes[1].y0
    assert boxes[0].y0 == boxes[2].y0


@pytest.mark.parametrize(
    ("title", "told"),
    [
        ("Camp hatchet", "Camp hatchet"),
        ("Hedging billhook, plough disc", "H7: Hedging billhook"),
        ("A hedging billhook of an old plough disc", "H7"),
    ],
)
def test_a_legend_names_a_tool_whole(tmp_path, title, told):
    result = tool_of(tmp_path, STUDY.replace('{id = "H7"}', f'{{id = "H7", title = "{title}"}}'))
    legend = plot_chops(result).figure.axes[0].get_legend()
    assert [text.get_text() for text in legend.get_texts()] == [told]


def test_a_bar_without_an_outline_is_as_long_as_the_tool_was_typed(no_outline):
    def end(study):
        ax = plot_balance(replace(no_outline, study=study), "H7")
        return max(line.get_xdata().max() for line in ax.lines if len(line.get_xdata()) > 4)

    blade = no_outline.study.blade("H7").model_copy(update={"length_mm": 380.0})
    bare = blade.model_copy(update={"length_mm": None})
    for own, long in ((blade, 380.0), (bare, no_outline.handling["H7"].strike_mm)):
        assert end(no_outline.study.model_copy(update={"blades": [own]})) == long


def test_a_bar_without_a_typed_length_goes_to_the_end_of_the_edge(tmp_path):
    handle = "[handling.H7]\nhandle_front_mm = 140"
    edge = STUDY.replace('{id = "H7"}', '{id = "H7", edge_length_mm = 240}')
    ends = []
    for study in (edge.replace("[handling.H7]", handle), edge):
        ax = plot_balance(tool_of(tmp_path, study), "H7")
        ends.append(max(line.get_xdata().max() for line in ax.lines if len(line.get_xdata()) > 4))
    assert ends == [380.0, 310.0]  # without the handle's front nobody knows where the edge ends


def test_a_balance_behind_the_front_of_the_handle_is_told_so_without_a_minus(tmp_path):
    result = tool_of(
        tmp_path, STUDY.replace("[handling.H7]", "[handling.H7]\nhandle_front_mm = 230")
    )
    rows = {name: value for name, value, _ in figure_rows(result, "H7")}
    assert rows["Balance behind the front of the handle"].startswith("25")
    assert "Balance ahead of the handle" not in rows
