"""Each customer's sheet has files of its own and tells of no other customer's tool."""

import datetime

import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

pytestmark = pytest.mark.usefixtures("framed")

MADE = datetime.datetime(2026, 11, 27, tzinfo=datetime.UTC)
OTHERS = """
title = "Four tools"
protocol = "billet_chop"
control = "C1"
blades = [{id = "C1", title = "Shop hatchet"}, {id = "K 1", title = "Heron's billhook"},
          {id = "K_1", title = "Rowan's hatchet"}, {id = "k-1", title = "Rowan's hatchet"}]
"""


@pytest.fixture(scope="module")
def four_tools(tmp_path_factory):
    """A study of the shop's control and of three tools for two customers (invented)."""
    folder = tmp_path_factory.mktemp("four")
    (folder / "study.toml").write_text(OTHERS, encoding="utf-8")
    rows = "".join(
        f"{blade},billet,{n},{20 + n + k},50,50,white ash,12,board {n}\n"
        for n in range(1, 5)
        for k, blade in enumerate(("C1", "K 1", "K_1", "k-1"))
    )
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
    (folder / "chops.csv").write_text(heading + rows, encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_customer_reads_nothing_of_the_tools_of_others(four_tools, tmp_path):
    (path,) = build_sheets(four_tools, tmp_path, blade="K 1", kinds=["html"], timestamp=MADE)
    page = path.read_text(encoding="utf-8")
    assert "Heron" in page
    assert "Shop hatchet" in page
    for other in ("Rowan", "K_1", "k-1"):
        assert other not in page, other


def test_every_tool_has_files_of_its_own(four_tools, tmp_path):
    files = build_sheets(four_tools, tmp_path, kinds=["html"], timestamp=MADE)
    names = [path.name for path in files]
    assert names == ["chopper_K_1.html", "chopper_K_1_2.html", "chopper_k-1.html"]
    assert "K_1" in files[1].read_text(encoding="utf-8")


OTHER = '{id = "B2", note = "Bites deep.", included_angle_deg = 28, mass_g = 1140, length_mm = 372}'
TWO = f"""
title = "Two hooks"
protocol = "billet_chop"
blades = [{{id = "B1", note = "Steady in the hand.", spine_mm = 6, edge_length_mm = 250}}, {OTHER}]
"""


@pytest.fixture(scope="module")
def two_hooks(tmp_path_factory):
    """Two tools of one shop, both for sale, no control (invented)."""
    folder = tmp_path_factory.mktemp("two")
    facts = TWO.replace("mass_g = 1140", "mass_g = 1140, edge_length_mm = 250")
    (folder / "study.toml").write_text(facts, encoding="utf-8")
    heading = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board,chips_count\n"
    rows = "".join(
        f"{blade},inspection,0,,,,,,0\n{blade},billet,1,{strokes},40,hazel,green,pole 1,\n"
        f"{blade},inspection,1,,,,,,{chips}\n"
        for blade, strokes, chips in (("B1", 4, 0), ("B2", 3, 1))
    )
    (folder / "chops.csv").write_text(heading + rows, encoding="utf-8")
    return open_chops(folder)


def page_of(source, folder, **asked):
    against = asked.pop("against", None)
    (path,) = build_sheets(
        analyse_chops(source, against=against), folder, kinds=["html"], timestamp=MADE, **asked
    )
    return path.name, path.read_text(encoding="utf-8").replace("\u00a0", " ")


def test_the_tool_that_is_asked_for_stands_beside_with_its_own_words_and_figures(
    two_hooks, tmp_path
):
    name, page = page_of(two_hooks, tmp_path, against="B2")
    assert name == "chopper_B1.html"
    for words in (
        "Of B2 beside it", "Bites deep. 28° included (14° per side), mass 1140 g, length 372 mm",
        "Steady in the hand. Spine 6 mm", "Beside it, B2, after 3 chops: 1 new chip",
        "whether blade B2 takes more or fewer, this test cannot tell", "B2 took",
        "0.4 (0.0 to 2.2)", "Each row of blade B2, tried beside this tool.",
    ):  # fmt: skip
        assert words in page, words
    assert "comparison blade" not in page
    assert ".;" not in page
    other, _ = page_of(two_hooks, tmp_path, against="B1", blade="B2")
    assert other == "chopper_B2.html"


def test_nobody_stands_beside_a_tool_unasked_nor_beside_itself(two_hooks, tmp_path):
    _, page = page_of(two_hooks, tmp_path, blade="B1")
    assert "B2" not in page
    with pytest.raises(UnusableInput, match=r'"B2" would stand beside itself; name another.*B1'):
        page_of(two_hooks, tmp_path, blade="B2", against="B2")


def test_in_two_units_the_figures_of_the_tool_beside_stand_behind_page_one(two_hooks, tmp_path):
    _, page = page_of(two_hooks, tmp_path, against="B2", units="both")
    assert "B2 in numbers" in page
    assert "In numbers (those of B2 further on)" in page
    assert "0.4 (0.0 to 2.2)" not in page
