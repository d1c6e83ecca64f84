"""Damage first counted after a hard trial is told as maybe of it: headline, limit, doubt."""

import pytest

from edgetest.doubts import doubt as doubt_of
from edgetest.report.documents.chopped_rows import log_section
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.store.chop_log import read_chops
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.trial_damage import (
    causes_words,
    first_at_trials,
    mishap_words,
    trial_words,
)
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "lumber_chop"
blades = [{id = "H1"}]
"""
HEAD = "blade,kind,order,species,moisture_pct,nominal,orientation,chops,chips_count,rolls_count,"
HEAD += "result\n"
PIECE = "H1,lumber,{},Douglas-fir,air-dry,2x4,flat,14,{},{},"
LOOK = "H1,inspection,{},,,,,,{},{},"
NAIL = "H1,nail,1,,,,,,{},{},pass"


def log_of(*damage, trial=NAIL):
    """A look, two pieces, a look, a trial and the last look, with chips and rolls at each."""
    rows = [LOOK.format(0, 0, 0), PIECE.format(1, 0, 0), PIECE.format(2, *damage[0])]
    rows += [LOOK.format(1, *damage[0]), trial.format(*damage[1]), LOOK.format(2, *damage[1])]
    return HEAD + "\n".join(rows) + "\n"


def rows_of(*damage, trial=NAIL):
    return read_chops(log_of(*damage, trial=trial).encode(), name="chops.csv").rows


@pytest.mark.parametrize(
    ("before", "after", "chips", "rolls"),
    [
        ((0, 0), (1, 0), {"nail": 1}, {}),
        ((1, 1), (1, 2), {}, {"nail": 1}),
        ((1, 0), (3, 2), {"nail": 2}, {"nail": 2}),
        ((1, 1), (1, 1), {}, {}),
    ],
)
def test_only_what_no_look_before_the_trial_counted_is_of_it(before, after, chips, rolls):
    rows = rows_of(before, after)
    assert first_at_trials(rows, "H1", "chips") == chips
    assert first_at_trials(rows, "H1", "rolls") == rolls
    assert first_at_trials(rows, "C1", "rolls") == {}


@pytest.mark.parametrize(
    ("trials", "chips"),
    [
        (["H1,nail,1,,,,,,,,pass"], {"nail": 1}),
        (["H1,nail,1,,,,,,,,pass", "H1,bone,1,,,,,,,,pass"], {"nail and bone": 1}),
        (["H1,nail,1,,,,,,0,0,pass", "H1,shave,1,,,,,,,,pass"], {}),
        (["H1,nail,1,,,,,,,,"], {}),
    ],
)
def test_a_trial_without_a_count_bears_on_the_next_look(trials, chips):
    rows = [LOOK.format(0, 0, 0), PIECE.format(1, 0, 0), *trials, LOOK.format(1, 1, 0)]
    log = (HEAD + "\n".join(rows) + "\n").encode()
    assert first_at_trials(read_chops(log, name="chops.csv").rows, "H1", "chips") == chips


def test_a_shave_makes_no_damage():
    rows = rows_of((0, 0), (1, 1), trial="H1,shave,1,,,,,,{},{},pass")
    assert trial_words(rows, "H1", "chips") == ""


def told(folder, *damage):
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(log_of(*damage), encoding="utf-8")
    result = analyse_chops(open_chops(folder))
    (limit,) = result.limit
    doubts = [one.text for one in result.doubts if one.code == "trial_may_have_made"]
    return " ".join(tool_sentences(result, "H1")), limit["text"], doubts


def test_a_roll_of_the_nail_is_not_laid_to_the_chopping(tmp_path):
    sentences, limit, (doubt,) = told(tmp_path, (1, 1), (1, 2))
    roll = "1 roll first counted after the nail trial, which may have made it"
    assert f"; {roll}." in sentences
    assert doubt.startswith(f"H1: {roll}. ")
    assert limit.endswith("reached (2 new rolls not counted)")


def test_a_limit_that_a_chip_of_the_nail_reaches_says_so(tmp_path):
    sentences, limit, (doubt,) = told(tmp_path, (0, 0), (1, 0))
    assert "; first counted after the nail trial, which may have made it." in sentences
    chip = "1 chip first counted after the nail trial, which may have made it"
    assert limit.endswith(f"reached ({chip})")
    assert chip in doubt


def test_damage_of_the_chopping_alone_is_not_doubted(tmp_path):
    sentences, limit, doubts = told(tmp_path, (1, 1), (1, 1))
    assert "nail trial" not in sentences + limit
    assert doubts == []


def test_the_doubt_s_words_stand_after_one_chip_and_after_several():
    told = doubt_of("trial_may_have_made", what="H7: 3 chips were first counted after it").text
    assert " count this with the chopping." in told


def test_a_chip_counted_where_a_mishap_is_noted_counts_and_says_so(tmp_path):
    head = HEAD.replace("result", "result,mishap")
    rows = [
        LOOK.format(0, 0, 0),
        PIECE.format(1, 0, 0),
        PIECE.format(2, 1, 0),
        LOOK.format(1, 1, 0),
    ]

    def log(mishap):
        told = [f"{row},{mishap * (n == 2)}" for n, row in enumerate(rows)]
        return head + "\n".join(told) + "\n"

    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    counts = log("one stroke glanced onto the clamp; it counts")
    (tmp_path / "chops.csv").write_text(counts, encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    said = "1 chip first counted where a mishap is noted: “one stroke glanced onto the clamp”"
    assert result.limit[0]["text"].endswith(f"reached ({said})")
    assert f"; {said}." in " ".join(tool_sentences(result, "H1"))
    rows_told = str(log_section(result, "H1", "metric"))
    assert "mishap: one stroke glanced onto the clamp" in rows_told
    assert "it counts" not in rows_told  # that is the maker's word to the program
    knot = read_chops(log("a knot").encode(), name="chops.csv").rows
    assert mishap_words(knot, "H1", "chips") == ""
    assert mishap_words(result.log.rows, "H1", "rolls") == ""


def test_damage_counted_at_a_later_look_is_not_said_to_be_of_the_row_of_the_mishap():
    head = HEAD.replace("result", "result,mishap")
    rows = [
        LOOK.format(0, 0, 0) + ",", PIECE.format(1, "", "") + ",hand tired",
        PIECE.format(2, 1, 0) + ",",
    ]  # fmt: skip
    log = read_chops((head + "\n".join(rows) + "\n").encode(), name="chops.csv").rows
    assert mishap_words(log, "H1", "chips") == (
        "1 chip first counted at a look after a mishap was noted: “hand tired”"
    )


def test_mishaps_and_hard_trials_of_a_tool_are_told_of_damage_that_no_count_parts():
    head = HEAD.replace("result", "result,mishap")
    rows = [PIECE.format(1, 0, 0) + ",hit the clamp", PIECE.format(2, 0, 0) + ",a knot"]
    log = read_chops((head + "\n".join(rows) + "\n").encode(), name="chops.csv").rows
    assert causes_words(log, "H1") == "a mishap is noted among its strokes: “hit the clamp”"
    assert causes_words(log, "H2") == ""
    nailed = rows_of((0, 0), (0, 0))
    assert causes_words(nailed, "H1") == "the nail trial may have made some"
