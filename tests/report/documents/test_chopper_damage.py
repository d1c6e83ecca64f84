"""The edge on page one where photographs and the eye both looked: no fact of either is dropped."""

import csv
import io
import shutil

import pytest

from edgetest.report.documents.chopper_edge import source_words
from edgetest.report.documents.chopper_words import first_doubts, tool_sentences
from edgetest.store.places import shipped
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = "camp_hatchet_study"


@pytest.fixture
def study(tmp_path):
    """The sample, with cells of chops.csv written anew by their row."""

    def written(cells, **asked):
        shutil.copytree(shipped("sample_runs") / STUDY, tmp_path / STUDY, dirs_exist_ok=True)
        log = tmp_path / STUDY / "chops.csv"
        head, *rows = csv.reader(io.StringIO(log.read_text("utf-8")))
        head = [*head, "mishap"] if "mishap" not in head else head
        rows = [row + [""] * (len(head) - len(row)) for row in rows]
        for (line, column), value in cells.items():
            rows[line - 2][head.index(column)] = value
        out = io.StringIO()
        csv.writer(out).writerows([head, *rows])
        log.write_text(out.getvalue(), "utf-8")
        return analyse_chops(open_chops(tmp_path / STUDY), **asked)

    return written


def test_why_the_eye_counts_stands_where_the_answer_says_that_it_does(study, run, tmp_path):
    study({(51, "chips_count"): "9"})
    told = " ".join(run("chop", tmp_path / STUDY)[1].split())
    seen, alike = "of C1 for the eye saw a new one that they do not show", "of H1 as with the tool"
    assert f"Of such a look the count by eye counts, {alike} beside it, for the rates" in told
    assert f"{seen}, and the most" in told
    study({})
    told = " ".join(run("chop", tmp_path / STUDY, "--damage-from", "log")[1].split())
    assert "Of such a look the count by eye counts, and the most" in told


def test_a_count_that_fell_of_the_tool_beside_is_told_on_the_sheet_too(study):
    result = study({(4, "rolls_count"): "6", (51, "rolls_count"): "4"})
    fell = (
        "The damage of C1 written down fell (rolls, 6 before and 4 now), and damage does not heal: "
        "until a touch-up is logged the worst that was seen stands."
    )
    for tool in ("H1", "C1"):
        first, later = first_doubts(result, tool)
        assert [line for line in (*first, *later) if "written down fell" in line] == [fell]


def test_photographs_keep_the_mishap_the_old_chip_and_the_count_by_eye(study):
    last = max_piece("C1")
    result = study(
        {(4, "chips_count"): "1", (51, "chips_count"): "3", (last, "mishap"): "hit the vice"}
    )
    said = next(one for one in tool_sentences(result, "H1") if one.startswith("Beside it, C1"))
    assert "2 new chips" in said
    assert "on 39 mm of edge (photographed); by eye as many on all 262 mm" in said
    assert "it began with no chips (1 by eye)" in said
    assert "2 chips first counted at a look after a mishap was noted: “glanced off the" in said
    assert "clamp” and “hit the vice”" in said


def test_a_mishap_is_told_of_chips_that_the_photographs_alone_show(study):
    last = max_piece("C1")
    result = study(
        {(51, "chips_count"): "0", (51, "largest_chip_mm"): "", (last, "mishap"): "hit the vice"}
    )
    said = next(one for one in tool_sentences(result, "H1") if one.startswith("Beside it, C1"))
    assert "; by eye, on all 262 mm, no new chips and no new rolls" in said
    assert "a mishap is noted among its strokes: “glanced off the clamp” and “hit the vice”" in said


def test_a_chip_beyond_the_photographs_counts_by_eye_with_each_tool_and_is_said_to(study):
    result = study({(49, "chips_count"): "1"})
    grown = {(one.blade, one.kind): one for one in result.growth}
    assert {key: one.source for key, one in grown.items()} == {
        ("H1", "chips"): "log", ("C1", "chips"): "log",
        ("H1", "rolls"): "photographs", ("C1", "rolls"): "photographs",
    }  # fmt: skip
    assert [grown[name, "chips"].edge_length_mm for name in ("H1", "C1")] == [80, 262]
    assert grown["C1", "chips"].new == 2
    look = result.look("H1", "after")
    assert look.summary().endswith("; used: log for chips, photographs for rolls")
    told = look.to_dict()
    assert (told["used"], told["used_for"]) == (
        "both", {"chips": "log", "rolls": "photographs"},
    )  # fmt: skip
    assert source_words(result, result.look("C1", "after")).startswith("Afterwards 2 chips")


def test_a_tool_of_photographs_alone_beside_one_counted_by_eye_is_doubted(study):
    blank = {(line, "chips_count"): "" for line in (4, 51)}
    blank |= {(line, "rolls_count"): "" for line in (4, 51)}
    result = study({(49, "chips_count"): "1", **blank})
    told = [one for one in result.doubts if one.code == "damage_seen_unlike"]
    assert [one.where.blade for one in told] == ["C1"]
    beside = tool_sentences(result, "H1")[-1]
    assert "on 39 mm of edge (photographed, of 262 mm)" in beside
    assert told[0].text.startswith("The chips of C1 were counted in photographs of a part")


@pytest.mark.parametrize(
    ("blank", "told"),
    [
        (["rolls_count"], "; rolls last counted by eye after {n}"),
        (["rolls_count", "chips_count"], "; chips and rolls last counted by eye after {n}"),
        ([], None),
    ],
)
def test_a_photograph_of_a_part_is_no_count_by_eye_of_the_whole(study, blank, told):
    result = study({(49, kind): "" for kind in blank}, damage_from="log")
    after = result.look("H1", "after")
    assert after.measured
    between = [one.chops for one in result.looks if (one.blade, one.when) == ("H1", "between")]
    said = next(one for one in tool_sentences(result, "H1") if one.startswith("After "))
    assert "no new chips" in said
    assert "(counted by eye)" in said
    assert between[-1] < after.chops
    assert ("last counted" in said) == bool(blank)
    assert told is None or told.format(n=between[-1]) in said
    assert ("Seeing no chip there" in said) == ("chips_count" not in blank)


def max_piece(blade):
    """The row of a tool's last piece in the sample."""
    log = (shipped("sample_runs") / STUDY / "chops.csv").read_text("utf-8")
    rows = csv.reader(io.StringIO(log))
    return max(n for n, row in enumerate(rows, 1) if row[:2] == [blade, "billet"])


HEAD = "blade,kind,order,chops,diameter_mm,chips_count,largest_chip_mm\n"


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (("inspection,0,,,0,", "billet,1,20,50,1,0.4", "billet,2,20,50,2,0.8"), "0.8 mm"),
        (("inspection,0,,,1,0.8", "billet,1,20,50,1,0.8", "billet,2,20,50,2,0.8"), None),
        (("inspection,0,,,0,", "billet,1,20,50,1,0.8", "touch-up,1,,,,", "inspection,1,,,0,",
          "billet,2,20,50,1,0.3"), "0.8 mm, at the last look 0.3 mm"),
        (("inspection,0,,,0,", "billet,1,20,50,1,0.3", "touch-up,1,,,,", "inspection,1,,,1,0.1",
          "billet,2,20,50,1,"), "0.3 mm"),
        (("inspection,0,,,1,0.3", "billet,1,20,50,1,0.3", "touch-up,1,,,,", "inspection,1,,,1,0.1",
          "billet,2,20,50,2,0.2"), None),
        (("inspection,0,,,0,", "billet,1,20,50,1,", "billet,2,20,50,2,"), None),
    ],
)  # fmt: skip
def test_the_largest_new_chip_by_eye_is_told_and_none_that_may_be_an_old_one(tmp_path, rows, told):
    facts = 'title = "Hatchet (invented)"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n'
    (tmp_path / "study.toml").write_text(facts, encoding="utf-8")
    log = HEAD + "".join(f"H1,{row}\n" for row in rows)
    (tmp_path / "chops.csv").write_text(log, encoding="utf-8")
    said = " ".join(tool_sentences(analyse_chops(open_chops(tmp_path)), "H1"))
    assert ("; the largest chip" in said) == (told is not None)
    assert told is None or f"; the largest chip {told};" in said or said.endswith(f"{told}.")
