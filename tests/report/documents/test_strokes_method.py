"""The Method of a sheet holds for every row of its table, and says what holds for some."""

import pytest

from edgetest.report.documents.strokes_method import people_told, strokes_method_words
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

pytestmark = pytest.mark.usefixtures("framed")

STUDY = """
title = "A hedging hook (invented)"
protocol = "billet_chop"
control = "O1"
blades = [{id = "B1"}, {id = "O1"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,diameter_mm,chops,date,operator\n"
HAZEL = [
    ("P1", "hazel,green,32", 4, 5, "2026-11-17"),
    ("P2", "hazel,green,38", 5, 6, "2026-11-17"),
]
BLACKTHORN = [
    ("P3", "European ash,green,32", 12, 13, "2026-11-17"),
    ("P4", "European ash,green,32", 11, 10, "2026-11-18"),
]
DAYS = "days differ, and the interval allows for it."


def hook_written(folder, pieces, wish="", hand="Ray"):
    (folder / "study.toml").write_text(STUDY + wish, encoding="utf-8")
    rows = [
        f"{blade},billet,{n},{board},{wood},{count},{day},{hand}"
        for n, (board, wood, mine, theirs, day) in enumerate(pieces, 1)
        for blade, count in (("B1", mine), ("O1", theirs))
    ]
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")


def hook_test(folder, pieces):
    hook_written(folder, pieces)
    return analyse_chops(open_chops(folder))


@pytest.mark.parametrize("wood", ["", "hazel", "European ash"])
def test_whichever_wood_leads_the_method_tells_every_row(tmp_path, run, wood):
    wish = f'\n[document]\nheadline_wood = "{wood}"\n' if wood else ""
    hook_written(tmp_path, HAZEL + BLACKTHORN, wish)
    assert run("report", tmp_path, "--blade", "B1", "--to", tmp_path / "out")[0] == 0
    page = (tmp_path / "out" / "chopper_B1.html").read_text(encoding="utf-8")
    page = page.replace("\xa0", " ").replace("'", "’").replace("&#x27;", "’")
    both = (
        "(mixed model, Laplace’s method; where the middle piece took 6 strokes or fewer, summed"
        " over the mean); each interval"
    )
    assert both in page
    assert f"Pieces of European ash, green, round, 32 mm were chopped on 2 days: {DAYS}" in page


def test_one_method_and_days_alike_are_told_once(tmp_path):
    result = hook_test(tmp_path, BLACKTHORN)
    assert strokes_method_words(result, "B1").endswith("of boards (mixed model, Laplace's method)")
    assert people_told(result, "B1", "metric") == f" Chopped on 2 days: {DAYS}"
    small = hook_test(tmp_path, HAZEL)
    assert strokes_method_words(small, "B1").endswith("of boards (summed over the mean)")
    assert people_told(small, "B1", "metric") == ""


def test_rows_of_the_tool_beside_and_many_rows_are_told_too(tmp_path):
    hook_test(tmp_path, HAZEL + BLACKTHORN)
    log = tmp_path / "chops.csv"
    text = log.read_text("utf-8")
    alone = text.replace("B1,billet,4,P4,European ash,green,32,11,2026-11-18,Ray\n", "")
    log.write_text(alone, "utf-8")
    told = people_told(analyse_chops(open_chops(tmp_path)), "B1", "metric")
    assert told == (
        f" Pieces of European ash, green, round, 32 mm by O1 were chopped on 2 days: {DAYS}"
    )
    poles = [
        (f"P{n}{day[-1]}", f"hazel,green,{size}", 12, 13, day)
        for n, size in enumerate((30, 35, 40, 45))
        for day in ("2026-11-17", "2026-11-18")
    ]
    many = people_told(hook_test(tmp_path, poles + BLACKTHORN[:1]), "B1", "metric")
    assert many == f" 4 rows were each chopped on 2 days: {DAYS}"
