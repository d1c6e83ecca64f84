"""What a maker chopped beside the protocol is named by what was measured of it."""

import re

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.added_pieces import added_words
from edgetest.study.chop.asked_pieces import AskedPieces


@pytest.mark.parametrize(
    ("sizes", "told"),
    [
        ({"nominal": "2x4"}, "2x4"),
        ({"nominal": "2x4", "width_mm": 95.0, "thickness_mm": 45.0}, "45 mm × 95 mm"),
        ({"nominal": "2x4", "diameter_mm": 60.0}, "round"),
        ({"width_mm": 95.0, "thickness_mm": 45.0}, "45 mm × 95 mm"),
    ],
)
def test_measured_sides_name_an_added_piece_and_its_trade_size_only_without_them(sizes, told):
    row = ChopRow(2, "B1", "lumber", species="Norway spruce", moisture_pct=13.0, **sizes)
    assert added_words([row]) == f"1 piece of Norway spruce, {told}"


@pytest.mark.parametrize(
    ("moisture", "diameter", "told"),
    [
        (16.0, 35.6, "dry hazel, round"),
        ("green", 60.0, "green hazel, round, 60 mm"),
        ("air-dry", 60.0, "dry hazel, round, 60 mm"),
        (None, 35.6, "hazel, round"),
    ],
)
def test_an_added_piece_is_told_by_what_is_not_as_the_protocol_asks(moisture, diameter, told):
    asked = AskedPieces(green=True, species=("hazel",), round=True, thick_mm=(25.0, 45.0))
    row = ChopRow(2, "B1", "billet", species="hazel", moisture_pct=moisture, diameter_mm=diameter)
    assert added_words([row], asked) == f"1 piece of {told}"


def test_check_and_chop_name_the_dry_pole_beside_a_protocol_of_green_ones(tmp_path, run):
    assert run("protocols", "billet_chop", "--to", tmp_path / "hedge.toml")[0] == 0
    own = (tmp_path / "hedge.toml").read_text("utf-8")
    own = re.sub(r'(?m)^kind = ".*"', 'kind = "green hazel"', own, count=1)
    own = re.sub(r'(?m)^size = ".*"', 'size = "round, 25 mm to 45 mm"', own, count=1)
    (tmp_path / "hedge.toml").write_text(own, "utf-8")
    (tmp_path / "study.toml").write_text(
        'title = "hook"\nprotocol = "hedge.toml"\nblades = [{id = "B1"}]\n', "utf-8"
    )
    head = "blade,kind,order,board,species,moisture_pct,diameter_mm,chops"
    rows = [f"B1,billet,{n},P{n},hazel,green,35,{n + 4}" for n in range(1, 9)]
    (tmp_path / "chops.csv").write_text(
        "\n".join([head, *rows, "B1,billet,9,P9,hazel,16,35.6,7"]) + "\n", "utf-8"
    )
    for verb in ("check", "chop"):
        assert "1 piece of dry hazel, round" in run(verb, tmp_path)[1]
    told = run("chop", tmp_path)[1]
    assert "strokes for hazel, green, round, 35 mm" in told
    assert "strokes for hazel, dry, round, 35.6 mm" in told
    for more, water in (([], "water not noted"), (["10,P8x,hazel,16"], "dry or water not noted")):
        added = [f"B1,billet,{each},35.6,7" for each in ("9,P9,hazel,", *more)]
        (tmp_path / "chops.csv").write_text("\n".join([head, *rows, *added]) + "\n", "utf-8")
        assert f"strokes for hazel, {water}, round, 35.6 mm" in run("chop", tmp_path)[1]
