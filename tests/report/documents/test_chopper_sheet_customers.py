"""Each customer's sheet has files of its own and tells of no other customer's tool."""

import datetime

import pytest

from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

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
