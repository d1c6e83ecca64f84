"""After how many strokes with one edge a piece takes a third more, told only as far as known."""

from math import inf, log

import numpy as np
import pytest

from edgetest.chop.strokes_to_third import strokes_to_third
from edgetest.report.documents.chopper_answer_rows import chop_answer_rows
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.stats.regression import LogContrast
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = 'title = "Camp hatchet (invented)"\nprotocol = "billet_chop"\nblades = [{id = "H1"}]\n'
HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops\n"
FEW = (38, 32, 33, 29, 31, 34, 31, 32, 34)
WORN = (30, 39, 40, 44, 62, 54, 60, 65, 78)


def growth(value, low, high):
    """Growth of the strokes by the first 100, per cent, as a contrast of the logs."""
    value, low, high = (log(1 + pct / 100) for pct in (value, low, high))
    return LogContrast(value, (high - low) / 2 / 1.96, inf)


def both_ways(value, low, high):
    """The same growth for an edge that dulls alike and for one that dulls most at first."""
    return growth(value, low, high), growth(value, low, high)


def chopped(folder, counts):
    rows = [f"H1,billet,{n + 1},B{n % 3},European ash,12,50,50,{c}" for n, c in enumerate(counts)]
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return folder


def worked(rng, pieces, fresh, slope):
    """Strokes of piece after piece by an edge that dulls alike all the time (invented)."""
    return severed(rng, pieces, lambda made: fresh * np.exp(slope * (made + fresh / 2)))


def severed(rng, pieces, mean_after):
    """Strokes of piece after piece, of wood that scatters by 10 % (invented)."""
    made = []
    for _ in range(pieces):
        made.append(max(1, round(mean_after(sum(made)) * rng.lognormal(0, 0.1))))
    return made


def third_told(folder, counts):
    """What the command says of the strokes until a third more."""
    told = analyse_chops(open_chops(chopped(folder, counts))).to_dict()
    return told["counts"]["dulling_by_tool"][0]["third_more"]


def test_the_command_tells_the_strokes_in_json(tmp_path, answer):
    folder = chopped(tmp_path / "worn", WORN)
    (one,) = answer("chop", folder)["counts"]["dulling_by_tool"]
    assert one["third_more"] == third_told(folder, WORN)
    assert one["third_more"]["strokes"]["high"] > one["third_more"]["at_least"]


def settling(fresh, most, within):
    """Mean strokes of a piece by an edge that loses all that it loses in its first strokes."""
    return lambda made: fresh * (1 + most * (1 - np.exp(-(made + fresh / 2) / within)))


@pytest.mark.parametrize(("fresh", "slope", "ends"), [(30, 0.0008, True), (12, 0.0004, False)])
def test_the_interval_holds_the_strokes_that_a_third_more_takes(tmp_path, fresh, slope, ends):
    """20 of 20 tests are to be expected at 95 %, give or take 1: 17 leave one in 400."""
    rng, true, held, closed = np.random.default_rng(7), log(4 / 3) / slope, 0, 0
    for n in range(20):
        third = third_told(tmp_path / str(n), worked(rng, 24, fresh, slope))
        strokes = third["strokes"]
        high = (strokes or {}).get("high") or inf
        held += third["at_least"] <= true <= high
        closed += strokes is not None
    assert held >= 17
    assert (closed > 10) == ends


def test_an_edge_that_dulls_most_at_first_is_due_sooner_and_the_interval_says_so(tmp_path):
    """Due after 250 of some 650 strokes: 19 of 20 tests are to be expected, give or take 1."""
    rng, held = np.random.default_rng(3), 0

    def mean_after(made):
        return 24 * (1 + np.sqrt((made + 12) / 1200))

    true = next(n for n in range(500) if mean_after(n) >= 4 / 3 * mean_after(0))
    for n in range(20):
        third = third_told(tmp_path / str(n), severed(rng, 18, mean_after))
        held += third["at_least"] <= true
    assert true == 250
    assert held >= 17


def test_what_is_beyond_the_strokes_made_has_no_upper_end(tmp_path):
    """An edge that settles a fifth above fresh never comes to a third: no end may say it does."""
    rng, ended, seen = np.random.default_rng(5), 0, 0
    for n in range(12):
        counts = severed(rng, 20, settling(24, 0.25, 150))
        third = third_told(tmp_path / str(n), counts)
        if third and third["strokes"]:
            seen += 1
            ended += third["strokes"]["high"] is not None
    assert seen >= 3
    assert ended == 0


def test_the_command_and_page_one_tell_it_and_say_that_a_third_is_our_choice(tmp_path):
    result = analyse_chops(open_chops(chopped(tmp_path / "worn", WORN)))
    (line,) = [line for line in result.summary().splitlines() if "third" in line]
    assert line == (
        "H1, work with one edge until a piece takes a third more strokes: 160 (56 to 270)"
        " strokes; a third is our choice; only an edge that loses nearly all of it in the first"
        " quarter of its strokes is due before that"
    )
    page = " ".join(tool_sentences(result, "H1"))
    assert "A piece takes a third more (our choice) after 160 (56 to 270) strokes with one" in page
    (row,) = [row for row in chop_answer_rows(result) if "a third more" in row[1]]
    assert row[2:] == ["160", "56 to 270"]


def test_where_it_may_not_dull_at_all_only_at_least_is_told(tmp_path):
    result = analyse_chops(open_chops(chopped(tmp_path / "few", FEW)))
    (line,) = [line for line in result.summary().splitlines() if "third" in line]
    assert ": at least " in line
    (row,) = [row for row in chop_answer_rows(result) if "a third more" in row[1]]
    assert row[2] == ""
    assert row[3].startswith("at least ")
    assert "it made" not in row[1]
    long = analyse_chops(open_chops(chopped(tmp_path / "long", (10, 11) * 15)))
    (row,) = [row for row in chop_answer_rows(long) if "a third more" in row[1]]
    assert row[1].endswith("(our choice; it made 315: only if it dulls on alike)")
    assert row[3] == "at least 550"


def test_an_answer_beyond_the_strokes_that_were_made_says_so():
    third = strokes_to_third(*both_ways(10, 5, 15), 200, 20)
    beyond = "(it made 200: only if it dulls on alike)"
    assert third.words() == f"300 (200 or more) strokes {beyond}"
    assert "made" not in strokes_to_third(*both_ways(10, 5, 15), 400, 20).words()
    assert strokes_to_third(*both_ways(3.9, -1, 9), 400, 20).words() == "at least 330 strokes"
    assert "it made 200" in strokes_to_third(*both_ways(3.9, -1, 9), 200, 20).words()


def test_nothing_is_told_where_the_pieces_tell_nothing_of_the_edge(tmp_path):
    assert strokes_to_third(*both_ways(-9, -15, -2), 200, 20) is None
    unknown = LogContrast(0.0, 1e3, inf)
    assert strokes_to_third(unknown, unknown, 200, 20) is None
    assert strokes_to_third(*both_ways(0, -40, 80), 200, 20, shown=False) is None
    three = analyse_chops(open_chops(chopped(tmp_path / "three", FEW[:3])))
    assert "third" not in three.summary()
