"""Which wood leads a tool's sheet: the one that was named, else the one most chopped."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.headline_wood import main_figure
from edgetest.study.sources import open_chops

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

STUDY = """
title = "A hedging hook (invented)"
protocol = "lumber_chop"
control = "O1"
blades = [{id = "B1"}, {id = "O1"}]
"""
PIECES = [
    ("stud", "Scots pine,12,89,38,,flat", (13, 15, 14)),
    ("hazel", "hazel,green,,,44,", (6, 6)),
    ("ash a", "European ash,green,,,38,", (9, 10)),
    ("ash b", "European ash,green,,,40.5,", (8, 7)),
]


def opened(folder, wish=None, *, blades=("B1", "O1")):
    """The test of a hook in four kinds of wood, with a `headline_wood`; O1 chopped no hazel."""
    document = f'\n[document]\nheadline_wood = "{wish}"\n' if wish is not None else ""
    (folder / "study.toml").write_text(STUDY + document, encoding="utf-8")
    head = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,diameter_mm,"
    rows = [f"{head}orientation,chops"]
    for board, piece, counts in PIECES:
        rows += [
            f"{blade},billet,{len(rows) + n},{board},{piece},{count}"
            for n, count in enumerate(counts)
            for blade in blades
            if (blade, board) != ("O1", "hazel")
        ]
    (folder / "chops.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return open_chops(folder)


def led_by(folder, wish, blade="B1"):
    one = main_figure(analyse_chops(opened(folder, wish)), blade)
    return one.piece_words()


@pytest.mark.parametrize(
    ("wish", "piece"),
    [
        (None, "European ash, round, 38 mm"),  # 4 pieces in two sizes, of pine 3 in one
        ("", "European ash, round, 38 mm"),
        ("hazel", "hazel, round, 44 mm"),
        ("green Hazel", "hazel, round, 44 mm"),
        ("European ash", "European ash, round, 38 mm"),  # of equals the first
        (
            "European ash 40",
            "European ash, round, 40.5 mm",
        ),  # 38 mm is within 6 %, 40.5 mm is nearer
        ("45", "hazel, round, 44 mm"),
        ("89x38", "Scots pine, 89 mm by 38 mm, flat"),
        ("3.5x1.5 in flat", "Scots pine, 89 mm by 38 mm, flat"),
    ],
)
def test_the_wood_that_is_named_leads_and_else_the_one_of_most_pieces(tmp_path, wish, piece):
    assert led_by(tmp_path, wish) == piece


def test_the_first_sentence_of_the_sheet_is_of_the_wood_that_is_named(tmp_path):
    first = tool_sentences(analyse_chops(opened(tmp_path, "hazel")), "B1")[0]
    assert first.startswith("About 6 strokes sever a piece of hazel, green, round, 44 mm")


def test_a_tool_that_chopped_none_of_it_is_led_by_its_own_most(tmp_path):
    assert led_by(tmp_path, "hazel", "O1") == "European ash, round, 38 mm"


def test_of_woods_of_equally_many_pieces_the_first_chopped_leads_by_its_row_of_most(tmp_path):
    """One wood came in more sizes: no row of it has as many pieces as the other wood's one row."""
    opened(tmp_path)
    log = tmp_path / "chops.csv"
    more = "B1,billet,9,stud,Scots pine,12,63,63,,,12\n"
    log.write_text(log.read_text("utf-8") + more, "utf-8")  # now of pine and of ash 4 pieces each
    one = main_figure(analyse_chops(open_chops(tmp_path)), "B1")
    assert one.piece_words() == "Scots pine, 89 mm by 38 mm, flat"
    head, *rows = log.read_text("utf-8").splitlines()
    ash = [row for row in rows if "ash" in row]
    others = [row for row in rows if "ash" not in row]
    log.write_text("\n".join([head, *ash, *others]) + "\n", "utf-8")
    one = main_figure(analyse_chops(open_chops(tmp_path)), "B1")
    assert one.piece_words() == "European ash, round, 38 mm"


@pytest.mark.parametrize(
    ("wish", "what", "mend"),
    [
        ("air-dry hazel", "was not chopped", "Scots pine, hazel and European ash"),
        ("hazel 60", "was not chopped", "Scots pine, hazel and European ash"),
        ("89x38 on edge", "was not chopped", "name a wood that was"),
        ("hazzel", "not in the table of woods", 'did you mean "hazel"'),
        ("Scots pine 2x4", "2 mm thin", "3.5x1.5 in"),
    ],
)
def test_what_no_tool_chopped_is_refused_by_its_key(tmp_path, wish, what, mend):
    with pytest.raises(UnusableInput) as refused:
        led_by(tmp_path, wish)
    assert refused.value.where == "study.toml, document, headline_wood"
    assert what in refused.value.what
    assert mend in refused.value.mend


def test_check_asks_about_a_wood_that_is_not_known_before_it_is_chopped(tmp_path, run):
    opened(tmp_path, "hazzel", blades=())
    told = run("check", tmp_path)[1]
    assert 'headline_wood: "hazzel" is not in the table of woods' in told
    opened(tmp_path, "hazel", blades=())
    assert "headline_wood" not in run("check", tmp_path)[1]


def test_report_names_the_key_in_one_line(tmp_path, run):
    opened(tmp_path, "ash 40")
    code, _, err = run("report", tmp_path)
    assert code == 2
    assert err.strip().splitlines()[0].count("study.toml, document, headline_wood") == 1
