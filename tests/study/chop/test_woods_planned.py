"""Woods of a log as a plan takes them: strokes by their median, most pieces first."""

import re
from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop import woods_planned as module
from edgetest.study.chop.woods_planned import planned_strokes, woods_to_chop
from edgetest.wear.plan.run_order import Run


def piece(
    blade="H", chops=10, wood="ash", *, kind="billet", severed=True, diameter=None, area=25.0
):
    section = SimpleNamespace(
        diameter_mm=diameter, orientation="flat", summary=lambda: "50 mm by 50 mm, flat",
        size_words=lambda: f"round, {diameter:g} mm",
    )  # fmt: skip
    return SimpleNamespace(
        blade=blade, chops=chops, kind=kind, severed=severed, section=section, area_cm2=area,
        wood=SimpleNamespace(name=wood) if wood else None,
    )  # fmt: skip


@pytest.fixture
def source(monkeypatch):
    def of(pieces=(), rows=(), stages=(1, 2, 3)):
        monkeypatch.setattr(module, "severings", lambda *_: pieces)
        return SimpleNamespace(
            chops=SimpleNamespace(rows=rows), study=None, protocol=SimpleNamespace(stages=stages)
        )

    return of


def told(source, asked=None):
    woods, doubts = woods_to_chop(source, asked)
    return [(wood.words, wood.strokes, wood.seen) for wood in woods], codes(doubts)


def test_strokes_are_as_said_else_as_seen_else_as_usual(source):
    seen = source([piece(chops=9), piece(chops=12), piece(chops=99, severed=False)])
    assert told(seen, 35) == ([("", 35, 0)], ())
    assert told(seen) == ([("ash, 50 mm by 50 mm, flat", 10.5, 2)], ())
    assert told(source()) == ([("", 20, 0)], ("strokes_assumed",))


def test_each_wood_and_shape_is_told_and_the_one_of_most_pieces_first(source):
    poles = [piece(wood="hazel", chops=6, diameter=d) for d in (38.0, 45.0, 41.0)]
    woods, _ = told(source([piece(), piece(), *poles, piece(wood=None)]))
    assert woods == [
        ("hazel, round, 38 mm to 45 mm", 6, 3),
        ("ash, 50 mm by 50 mm, flat", 10, 2),
        ("wood not noted, 50 mm by 50 mm, flat", 10, 1),
    ]
    assert told(source(poles[:1]))[0] == [("hazel, round, 38 mm", 6, 1)]
    mixed = source([piece(), piece(area=40.0)])
    assert told(mixed)[0] == [("ash, of several sizes", 10, 2)]


def test_pieces_are_those_of_the_log_under_way_else_one_of_every_board(source):
    assert planned_strokes(source(), 20.0, 2) == [20.0] * 3
    assert planned_strokes(source(), 20.0, 5) == [20.0] * 5
    rows = [ChopRow(n, blade, "billet", chops=9) for n in range(3) for blade in "HC"]
    rows += [ChopRow(9, "H", "billet"), ChopRow(9, "H", "inspection")]
    two = [piece("H", 8), piece("C", 10), piece("H", 8, "oak"), piece("C", 30, "oak"),
           piece("H", 8, "oak")]  # fmt: skip
    assert planned_strokes(source(two, rows), 20.0, 2) == [9.0, 8.0, 20.0]
    assert planned_strokes(source(two, rows), 20.0, 4) == [9.0, 8.0, 20.0, 20.0]  # one to come
    left = [Run("new", n, blade, "") for n, blade in enumerate("HCHC", 1)]
    whole = [9.0, 8.0, 20.0, 20.0, 20.0]  # three were chopped, two are left, whatever was ordered
    assert planned_strokes(source(two, rows), 20.0, 2, left) == whole
    assert planned_strokes(source(two, rows), 20.0, 2, left[:3]) == whole[:4]


def test_a_row_that_is_left_out_is_no_piece_of_the_chance(tmp_path, answer, monkeypatch):
    """Offcuts chopped between the pieces, left out with a reason, promise no chance."""
    monkeypatch.setattr(
        "edgetest.study.chop.alone_planned.typical_factor", lambda *asked, **more: 1.5
    )
    head = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,exclude\n"
    rows = [f"H1,billet,{n},B{n % 3},European ash,12,50,50,{9 + n % 2}," for n in range(1, 5)]
    study = 'title = "t"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n'
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    told = []
    for more in ([], ["H1,billet,,,,,,,120,other work"]):
        text = head + "\n".join([*rows, *more]) + "\n"
        (tmp_path / "chops.csv").write_text(text, encoding="utf-8")
        told.append(answer("plan", tmp_path, "--dry-run"))
    assert [one["tools"]["pieces_planned"] for one in told] == [4, 4]


def test_a_test_whose_first_pieces_are_left_out_is_planned_on(tmp_path, run):
    """Pieces of a first board that were spoilt are chopped again."""
    head = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,exclude"
    rows = [f"{blade},billet,1,b1,English oak,12,50,50,{chops},spoilt"
            for blade, chops in (("H1", 20), ("C1", 24))]  # fmt: skip
    study = 'title = "t"\nprotocol = "billet_chop"\ncontrol = "C1"\n'
    study += 'blades = [{id = "H1"}, {id = "C1"}]\n'
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    (tmp_path / "chops.csv").write_text("\n".join([head, *rows, ""]), encoding="utf-8")
    code, told, _ = run("plan", tmp_path, "--dry-run")
    assert code == 0
    assert re.search(
        r"No piece that counts is chopped so far\. To show that difference takes \d+ more", told
    )
    assert "With the 3 pieces of each tool here" in told
