"""Bounds, means, woods and the control's edge are told as what they are."""

import re

import pytest

from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

HEADING = (
    "blade,kind,order,board,species,moisture_pct,nominal,orientation,chops,chips_count,knots\n"
)
LOG = """H1,inspection,0,,,,,,,0,
C1,inspection,0,,,,,,,0,
H1,lumber,1,a,Scots pine,,2x4,flat,12,,
C1,lumber,1,a,Scots pine,,2x4,flat,14,,
H1,lumber,2,b,Scots pine,,2x4,flat,13,,2
C1,lumber,2,b,Scots pine,,2x4,flat,>40,,
H1,inspection,1,,,,,,,0,
C1,inspection,1,,,,,,,3,
"""


@pytest.fixture
def studs(run, tmp_path):
    folder = tmp_path / "studs"
    run("new", folder, "--protocol", "lumber_chop", "--blade", "H1", "--control", "C1")
    (folder / "chops.csv").write_text(HEADING + LOG, encoding="utf-8")
    return folder


def put(folder, old, new):
    path = folder / "chops.csv"
    path.write_text(path.read_text("utf-8").replace(old, new), encoding="utf-8")


def test_a_mean_between_two_counts_keeps_its_half(run, studs):
    assert re.search(r"^H1: 12\.5 \(\d+\.\d to \d+\.\d\) strokes", run("chop", studs)[1], re.M)


def test_pieces_that_all_stood_give_a_bound_and_no_result(run, studs):
    put(studs, "flat,14,,", "flat,>40,,")
    _, out, _ = run("chop", studs)
    line = next(x for x in out.splitlines() if x.startswith("C1: no mean"))
    assert (
        "2 of 2 pieces not severed, strokes >40, >40; only a bound of the mean: pieces differ"
        in line
    )
    assert "chop on until one falls" in line


def test_one_piece_that_stood_is_told_beside_the_mean(run, studs):
    _, out, _ = run("chop", studs)
    assert "1 of them not severed and taken as needing more than it got" in out
    assert "at 2 pieces, not all severed" in out


@pytest.mark.parametrize(
    ("kind", "water", "asked"),
    [("lumber", "125", True), ("lumber", "12.5", False), ("billet", "60", False),
     ("billet", "125", True), ("lumber", "green", False)],
)  # fmt: skip
def test_water_is_asked_in_the_sense_of_the_piece_and_never_refused(run, studs, kind, water, asked):
    put(studs, "Scots pine,,", f"Scots pine,{water},")
    put(studs, ",lumber,", f",{kind},")
    code, out, _ = run("check", studs)
    assert code == 0
    assert (f"{water} is unusual for {kind}" in out) is asked


def test_a_trade_group_is_told_as_a_group_with_its_range(run, studs):
    put(studs, "Scots pine", "SPF")
    _, out, _ = run("check", studs)
    assert '"SPF" is a group of the lumber trade' in out
    assert "8 woods of 1557 to 2500 N" in out
    assert 'write "SPF (softwood)"' in out


def test_a_column_is_not_to_be_renamed_to_one_that_stands_there(run, studs):
    put(studs, "chips_count,knots", "chips_count,strokes")
    put(studs, "flat,13,,2", "flat,13,,13")
    _, out, _ = run("check", studs)
    assert '"chops" stands there already' in out
    assert 'did you mean "chops"' not in out


def test_the_empty_log_asks_for_board_and_nominal_size(run, tmp_path):
    run("new", tmp_path / "s", "--protocol", "lumber_chop", "--blade", "H1")
    heading = (tmp_path / "s" / "chops.csv").read_text("utf-8").splitlines()[0].split(",")
    assert {"board", "nominal"} <= set(heading)


def test_a_centre_beyond_the_tip_is_withheld_though_its_interval_meets_the_tool(tmp_path):
    study = """title = "s"
protocol = "billet_chop"
blades = [{id = "H7"}]
[handling.H7]
mass_g = 690
balance_mm = 205
pivot_mm = 12
grip_mm = 60
strike_mm = 290
swings = 20
seconds = [20.9, 21.0, 20.8]
"""
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    (tmp_path / "chops.csv").write_text("blade,kind,chops,nominal\nH7,lumber,9,2x4\n", "utf-8")
    place = analyse_chops(open_chops(tmp_path)).tool("H7").balance.percussion_mm
    end = (place.low + place.value) / 2
    assert place.low < end < place.value
    (tmp_path / "study.toml").write_text(f"{study}length_mm = {end:.2f}\n", encoding="utf-8")
    assert analyse_chops(open_chops(tmp_path)).tool("H7").balance.percussion_off == "beyond the tip"
