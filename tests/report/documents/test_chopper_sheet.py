"""The chopper's sheet: one page, every figure on it, the tool drawn to scale."""

import datetime
import re
import shutil

import numpy as np
import pypdf
import pytest
from PIL import Image

from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_edge import edge_pictures, look_rows
from edgetest.report.documents.chopper_numbers import figure_rows, side_by_side_rows
from edgetest.report.documents.chopper_sheet import _method_section, build_sheets, sheet_contents
from edgetest.report.documents.chopper_words import tool_doubts, tool_sentences, trial_rows
from edgetest.report.figures.chop_figures import (
    plot_balance,
    plot_chops,
    plot_depths,
)
from edgetest.report.figures.plot_style import ACCENT
from edgetest.report.figures.swing_figures import plot_kick, plot_ringing
from edgetest.report.wording import interval_words
from edgetest.store.document_wishes import settings_of
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops
from tests.chop import codes
from tests.report.accessible import broken_rules
from tests.report.documents.pdf_pages import page_texts

MADE = datetime.datetime(2026, 11, 2, tzinfo=datetime.UTC)


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    folder = tmp_path_factory.mktemp("runs") / "camp_hatchet_study"
    shutil.copytree(shipped("sample_runs") / "camp_hatchet_study", folder)
    return analyse_chops(open_chops(folder))


@pytest.fixture(scope="module")
def made(result, tmp_path_factory):
    return build_sheets(result, tmp_path_factory.mktemp("sheets"), timestamp=MADE)


@pytest.fixture(scope="module")
def words(made):
    pdf = " ".join(page_texts(made[0]))
    html = re.sub(r"<style>.*?</style>|data:[^\"]*", " ", made[1].read_text("utf-8"), flags=re.S)
    return {"pdf": tidy(pdf), "html": tidy(re.sub(r"<[^>]*>", " ", html))}


def tidy(text):
    text = re.sub(r"[\u200b\u00ad\u2010]", "", text).replace("\u00a0", " ")
    return re.sub(r"\s+", " ", text)


def test_the_customer_gets_one_page_and_one_with_the_rows_on_either_paper(result, made, tmp_path):
    letter = build_sheets(
        result, tmp_path, kinds=["pdf"], paper="us-letter", units="both", timestamp=MADE
    )
    first, second, *more = page_texts(made[0])
    assert len(more) <= 1  # the comparison blade's rows, and those of a long log
    assert "Care and cautions" in first
    assert tidy(second).startswith("Piece by piece")
    # Each size in two units, on shorter paper: the figures and the care go over to page two.
    first, second, *more = page_texts(letter[0])
    assert len(more) <= 2
    assert "In numbers" in second
    assert "Wood by wood" in first


def test_every_figure_stands_on_the_sheet(words, result):
    rows = figure_rows(result, "H1")
    assert len(rows) == 13
    for name, value, interval in rows:
        name += " (± assumed)" * (name == "Mass")  # nobody typed one
        for kind in ("pdf", "html"):
            assert f"{name} {value} {interval}" in words[kind], (kind, name)


def test_the_figures_are_those_of_the_result(result):
    rows = {name: (value, interval) for name, value, interval in figure_rows(result, "H1")}
    mass = result.tool("H1").balance.mass_g
    assert rows["Mass"][1] == interval_words(mass.value, mass.low, mass.high)[1]
    bound = next(
        row.per_100_mm.high
        for when, damage in result.report.damage
        if (when, damage.kind) == ("during", "chips")
        for row in damage.blades
        if row.blade == "H1"
    )
    assert rows["New chips per 10 cm of edge"] == ("0", f"under {bound:.2g}")
    assert bound == pytest.approx(-np.log(0.05) * 100 / 78.72, rel=1e-3)


def test_says_what_a_customer_must_know(words):
    for kind in ("pdf", "html"):
        text = words[kind]
        assert "Invented data, for demonstration" in text
        assert "Flex, bend, nail, bone; nor other or frozen wood" in text
        assert "Stop at a crack" in text
        assert "Dry it after use and oil it" in text
        assert "It was there before the test" in text
        assert "passed 3 of 3: three chops into red deer" in text
        assert "77 % of the strokes that C1 took in turn" in text
        assert text.count("C1 (the shop's camp knife)") == 2  # named in the box once, and its rows
        assert re.search(r"data SHA-256 [0-9a-f]{16}", text)


def test_is_pdf_ua(made):
    assert broken_rules(made[0]) == []


def test_the_same_study_gives_the_same_bytes(result, made, tmp_path):
    again = build_sheets(result, tmp_path, timestamp=MADE)
    for one, other in zip(made, again, strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_inches_are_worked_out_from_the_numbers(result):
    metric = {name: row for name, *row in figure_rows(result, "H1")}
    inch = {name: row for name, *row in figure_rows(result, "H1", "inch")}
    both = {name: row for name, *row in figure_rows(result, "H1", "both")}
    assert float(inch["Mass"][0].removesuffix(" oz")) == pytest.approx(753 / 28.3495, abs=0.005)
    assert both["Mass"][0] == f"{metric['Mass'][0]} / {inch['Mass'][0]}"
    assert both["Mass"][1] == f"{metric['Mass'][1]} / {inch['Mass'][1]}"
    still = "Inertia about the grip: how it resists the swing"
    value = float(metric[still][0].removesuffix(" kg cm²"))
    assert float(inch[still][0].removesuffix(" lb in²")) == pytest.approx(value / 2.9264, abs=0.3)


def test_the_edge_is_shown_where_it_was_damaged_at_one_size(result):
    (before, first), (after, second) = edge_pictures(result, "H1")
    assert before.startswith("Before the test: 1 chip 0.1")
    assert after.startswith("After 127 chops: 1 chip")
    assert "1 roll 0.1" in after
    sizes = [Image.open(_file(jpeg)).size for jpeg in (first, second)]
    assert sizes[0][0] == sizes[1][0] == 1100
    assert abs(sizes[0][1] - sizes[1][1]) < 60
    assert [row["used"] for row in look_rows(result, "H1")] == ["photographs", "log", "photographs"]


def _file(data):
    from io import BytesIO

    return BytesIO(data)


def test_the_tool_is_drawn_to_scale_with_its_places(result):
    ax = plot_balance(result, "H1")
    origin, right, up = ax.transData.transform([(0, 0), (100, 0), (0, 100)])
    assert right[0] - origin[0] == pytest.approx(up[1] - origin[1], rel=1e-6)
    tool = result.tool("H1")
    (percussion,) = [
        line for line in ax.lines if line.get_marker() == "D" and line.get_color() == ACCENT
    ]
    assert percussion.get_xdata()[0] == tool.measured.percussion_mm.value
    nodes = [line.get_xdata()[0] for line in ax.lines if line.get_marker() == "o"]
    assert nodes == list(tool.predicted.flat.mode.nodes_mm)
    outline = max(ax.lines, key=lambda line: len(line.get_xdata()))
    assert max(outline.get_xdata()) == 340
    texts = [text.get_text() for text in ax.texts]
    assert "grip" in texts
    assert "strikes at 302 mm" in texts


def test_labels_on_the_tool_do_not_run_into_each_other(result):
    for blade, width in (("H1", 4.4), ("C1", 4.4), ("C1", 7.2)):
        ax = plot_balance(result, blade, width_in=width)
        ax.figure.canvas.draw()
        boxes = [text.get_window_extent() for text in ax.texts]
        for k, one in enumerate(boxes):
            assert not any(one.overlaps(other) for other in boxes[:k]), (blade, width)


def test_every_piece_and_every_depth_is_on_its_plot(result):
    dots = [line for line in plot_chops(result).lines if len(line.get_xdata())]
    assert sum(len(line.get_xdata()) for line in dots) == len(result.pieces) == 12
    marks = [line for line in plot_depths(result).lines if line.get_linestyle() == "None"]
    assert sum(len(line.get_xdata()) for line in marks) == len(result.chops) == 23


def test_the_kick_passes_through_zero_at_the_percussion_centre(result):
    tool = result.tool("H1")
    kick = next(line for line in plot_kick(tool).lines if len(line.get_xdata()) == 41)
    at = np.interp(tool.balance.percussion_mm.value, kick.get_xdata(), kick.get_ydata())
    assert abs(at) < 1e-6
    ax = plot_ringing(tool.predicted)
    assert sum(line.get_marker() == "o" for line in ax.lines) == 4


def test_measured_beside_predicted_in_words(result):
    rows = side_by_side_rows(result.tool("H1").compared)
    assert rows[0]["figure"] == "mass"
    assert rows[0]["measured"].endswith(" g")
    assert {row["told apart"] for row in rows} == {"no"}


ROWS = """blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,result
K1,billet,1,20,50,50,white ash,12,
K1,bend,1,,,,,,fail
"""
TOML = """title = "A knife"
protocol = "billet_chop"
[[blades]]
id = "K1"
title = "{title}"
angle_per_side_deg = 20
[[blades]]
id = "K/2"
angle_per_side_deg = 20
"""


def bare(tmp_path, title="", rows=ROWS):
    (tmp_path / "study.toml").write_text(TOML.format(title=title), encoding="utf-8")
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    return analyse_chops(open_chops(tmp_path))


def test_one_billet_and_nothing_else_still_makes_a_sheet(tmp_path):
    result = bare(tmp_path, title="The " + "very long " * 12 + "name of a knife")
    (path,) = build_sheets(result, tmp_path / "out", kinds=["pdf"], timestamp=MADE)
    text = tidy(page_texts(path)[0])
    assert path.name == "chopper_K1.pdf"
    assert "A single piece: how far pieces differ is assumed." in text
    assert "failed" in text
    assert trial_rows(result, "K1") == [
        ("Bend", "failed; by what rule the maker judged is not noted")
    ]


@pytest.mark.usefixtures("framed_here")
def test_two_tools_without_a_difference_are_not_told_apart(tmp_path):
    more = "K/2,billet,1,21,50,50,white ash,12,\n"
    bare(tmp_path, rows=ROWS + more)
    toml = (tmp_path / "study.toml").read_text(encoding="utf-8")
    (tmp_path / "study.toml").write_text(f'control = "K1"\n{toml}', encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    said = " ".join(tool_sentences(result, "K/2"))
    assert "takes more or fewer, this test cannot tell" in said
    assert "the two cannot be told apart" in said
    files = build_sheets(result, tmp_path / "out", kinds=["html"], timestamp=MADE)
    assert [path.name for path in files] == ["chopper_K_2.html"]


@pytest.mark.usefixtures("framed_here")
def test_twelve_tools_keep_each_sheet_to_its_pages(tmp_path):
    names = [f"tool {k} with a rather long name" for k in range(12)]
    toml = 'title = "Twelve"\nprotocol = "billet_chop"\n'
    toml += "".join(f'[[blades]]\nid = "{n}"\nangle_per_side_deg = 20\n' for n in names)
    rows = [f"{n},billet,{20 + k},50,50,white ash" for board in "ab" for k, n in enumerate(names)]
    (tmp_path / "study.toml").write_text(toml, encoding="utf-8")
    text = "blade,kind,chops,width_mm,thickness_mm,species\n" + "\n".join(rows) + "\n"
    (tmp_path / "chops.csv").write_text(text, encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    assert len(plot_chops(result).get_legend().get_texts()) == 12
    said = tool_sentences(result, names[0])
    assert not any(name in sentence for name in names[1:] for sentence in said)
    (path,) = build_sheets(result, tmp_path / "out", blade=names[0], kinds=["pdf"], timestamp=MADE)
    assert len(pypdf.PdfReader(path).pages) == 2


def test_a_photograph_that_cannot_be_read_leaves_the_sheet_standing(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "edge.jpg").write_bytes(b"no picture")
    rows = "blade,kind,chops,width_mm,thickness_mm,photo\nK1,billet,20,50,50,edge.jpg\n"
    result = bare(tmp_path, rows=rows)
    assert "side_view_refused" in codes(result)
    assert edge_pictures(result, "K1") == []
    (path,) = build_sheets(result, tmp_path / "out", kinds=["html"], blade="K1", timestamp=MADE)
    assert "The edge" not in path.read_text(encoding="utf-8")


@pytest.mark.usefixtures("framed_here")
def test_what_was_left_out_of_a_tool_is_said_on_its_own_sheet(result, tmp_path):
    said = (
        "Left out, single in row 29: the edge met the clamp, not the wood; mishap: glanced off the"
    )
    said += " clamp."
    assert said in tool_doubts(result, "C1")
    assert said not in tool_doubts(result, "H1")
    (path,) = build_sheets(result, tmp_path, blade="C1", kinds=["pdf"], timestamp=MADE)
    text = tidy(" ".join(page_texts(path)))
    assert said in text
    assert "left out: the edge met the clamp, not the wood" in text
    assert "Standard blow, assumed: an arm of 0.07 kg m² turning at the elbow" in text


@pytest.mark.usefixtures("framed_here")
def test_a_word_that_is_typst_stays_a_word(tmp_path):
    result = bare(tmp_path, title="#knife *of* $5 @you")
    contents = sheet_contents(result, "K1", settings_of(result.study), day="2026-11-02")
    assert contents.title == "#knife *of* $5 @you"
    (path,) = build_sheets(result, tmp_path / "out", blade="K1", kinds=["pdf"], timestamp=MADE)
    assert "#knife *of* $5 @you" in tidy(page_texts(path)[0])


@pytest.mark.usefixtures("framed_here")
def test_what_was_typed_comes_back_as_typed(tmp_path):
    rows = "blade,kind,chops,width_mm,thickness_mm,orientation,species,moisture_pct\n"
    rows += "K1,billet,20,3 1/2 in,1 1/2 in,flat,hazel,green\n" * 2
    facts = 'id = "K1"\nsteel = "harrow tine"\nedge_length_mm = "9 1/2 in"'
    toml = TOML.format(title="hook").replace('id = "K1"', facts, 1)
    (tmp_path / "study.toml").write_text(toml + '[document]\ncustomer = "山田"\n', encoding="utf-8")
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    assert tool_sentences(result, "K1")[0].startswith(
        "About 20 strokes sever a piece of hazel, green, 3 1/2 × 1 1/2 in, flat"
    )
    pdf, html = build_sheets(result, tmp_path / "out", units="inch", timestamp=MADE)
    text = tidy(" ".join(page_texts(pdf)))
    assert "3 1/2 in × 1 1/2 in, flat" in text
    if "for 山田" not in text:  # no font of this machine has the letters
        assert "for [5C71.7530]" in text
        assert "[number]: letters that no font here has" in text
    assert "□" not in text
    assert "for 山田" in html.read_text(encoding="utf-8")
    assert "Wipe off sap" in text


def test_a_log_alone_makes_no_sheet(tmp_path):
    path = tmp_path / "chops.csv"
    path.write_text(ROWS, encoding="utf-8")
    with pytest.raises(UnusableInput, match="a chop log alone does not say whose tool it is"):
        build_sheets(analyse_chops(open_chops(path)), tmp_path)


def test_a_thinner_tip_is_told_as_tried_on_paper_on_the_sheet_of_its_tool(result):
    (change,) = result.changes
    said = f"Tried on paper, nothing was ground: {change.summary()}."
    assert said in str(_method_section(result, change.blade, "metric"))
    other = "H1" if change.blade == "C1" else "C1"
    assert "Tried on paper" not in str(_method_section(result, other, "metric"))
