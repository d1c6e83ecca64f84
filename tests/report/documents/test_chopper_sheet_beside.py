"""What a sheet says beside its own tool: touched-up edges, tries of the other, notes."""

from types import SimpleNamespace

import pytest

from edgetest.report.documents.chopped_rows import log_section
from edgetest.report.documents.chopper_sheet import build_sheets
from edgetest.report.documents.chopper_words import tool_sentences, trial_rows
from edgetest.report.documents.tool_facts import tool_rows
from edgetest.report.figures.chop_figures import plot_chops
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

pytestmark = pytest.mark.usefixtures("framed")

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "O1"
blades = [{id = "H1", steel = "harrow tine"}, {id = "O1"}]
[document]
note = "The older hatchet stays in the shop."
"""
HEAD = (
    "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,chips_count,result\n"
)


def found(folder, *, water="seasoned", last=0, board="board", touch_up=True, more=(), facts=""):
    rows = ["H1,inspection,0,,,,,,,0,", "O1,inspection,0,,,,,,,1,"]
    for n in range(1, 5):
        for blade, count in (("H1", 12 + n), ("O1", 20 + n)):
            count = ">40" if (blade, n) == ("O1", 2) else count
            rows.append(f"{blade},billet,{n},{board} {n},European ash,{water},50,50,{count},,")
        if n == 2 and touch_up:
            rows += ["H1,inspection,2,,,,,,,1,", "H1,touch-up,2,,,,,,,,", *more]
    rows += [f"H1,inspection,9,,,,,,,{last},", "O1,inspection,9,,,,,,,2,"]
    rows += ["H1,shave,9,,,,,,,,pass", "O1,shave,9,,,,,,,,fail", "H1,rope,9,,,,,,,,pass"]
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text(STUDY + facts, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    return found(tmp_path_factory.mktemp("beside") / "a")


def test_a_chip_that_the_stone_took_out_is_not_told_as_there(result):
    (line,) = [one for one in tool_sentences(result, "H1") if one.startswith("After 58 chops")]
    assert "1 new chip" in line
    assert line.endswith("; touching up took 1 chip off: no chips are on it now.")


def test_a_roll_that_the_stone_took_out_is_not_told_as_there(tmp_path):
    found(tmp_path)
    log = tmp_path / "chops.csv"
    log.write_text(log.read_text("utf-8").replace("chips_count", "rolls_count"), "utf-8")
    with_chips = log.read_text("utf-8").splitlines()
    head, *rows = with_chips
    looks = [f"{row},{0 if ',inspection,' in row else ''}" for row in rows]
    log.write_text("\n".join([f"{head},chips_count", *looks]) + "\n", "utf-8")
    told = tool_sentences(analyse_chops(open_chops(tmp_path)), "H1")
    (line,) = [one for one in told if one.startswith("After 58 chops")]
    assert "no new chips and 1 new roll" in line
    assert "; touching up took 1 roll off: no rolls are on it now" in line


@pytest.mark.parametrize(
    ("before", "worst", "seen", "said", "now"),
    [
        (1, 1, "1,0", "no new chips and 1 new roll", "off: 1 chip and no rolls are on it now"),
        (
            0,
            2,
            ",",
            "4 chips (new or old: unknown, 2 of them new",
            "off (how many chips is not known): 2 chips and no rolls are on it now",
        ),
    ],
)
def test_rolls_that_are_gone_are_not_told_as_chips_that_are_gone(
    run, tmp_path, before, worst, seen, said, now
):
    rows = f"""blade,kind,order,chops,diameter_mm,chips_count,rolls_count
O1,inspection,0,,,{before},0
O1,billet,1,20,50,,
O1,billet,2,21,50,{worst},1
O1,touch-up,2,,,,
O1,inspection,2,,,{seen}
O1,billet,3,20,50,,
O1,inspection,9,,,{worst},0
H1,inspection,0,,,0,0
H1,billet,1,15,50,0,0
H1,billet,2,16,50,0,0
"""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    assert run("report", tmp_path, "--to", tmp_path / "out")[0] == 0
    page = (tmp_path / "out" / "chopper_H1.html").read_text(encoding="utf-8")
    assert said in page
    assert ("it began with 1 chip" in page) == bool(before)
    assert f"; touching up after 41 strokes took 1 roll {now}" in page


def test_an_edge_that_began_with_a_chip_says_so_on_page_one(result):
    told = tool_sentences(result, "H1")
    assert "Beside it, O1, after 108 chops: 1 new chip (counted by eye)" in told[-1]
    assert told[-1].endswith("; it began with 1 chip.")
    assert "began" not in " ".join(told[:-1])


@pytest.mark.parametrize(
    ("misses", "told"),
    [
        ((0, ""), ["20 strokes", "20 strokes, near misses not noted"]),
        (("", ""), ["20 strokes"] * 2),
    ],
)
def test_a_piece_whose_misses_nobody_noted_is_told_apart_from_one_without_any(
    tmp_path, misses, told
):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = "\n".join(f"H1,billet,20,50,{missed}" for missed in misses)
    (tmp_path / "chops.csv").write_text(f"blade,kind,chops,diameter_mm,near_misses\n{rows}\n")
    result = analyse_chops(open_chops(tmp_path))
    (log,) = log_section(result, "H1", "metric")
    assert [row[5] for row in log["blocks"][1]["rows"]] == told
    counted = "; no near misses where they were counted, on 1 of 2 pieces."
    assert (counted in " ".join(tool_sentences(result, "H1"))) == any(one == 0 for one in misses)


def test_a_chip_that_is_still_there_is_told_as_there(tmp_path):
    kept = " ".join(tool_sentences(found(tmp_path / "a", last=1, touch_up=False), "H1"))
    assert "on it now" not in kept
    looked = found(tmp_path / "b", last=1, more=["H1,inspection,3,,,,,,,0,"])
    again = " ".join(tool_sentences(looked, "H1"))
    assert "2 new chips" in again
    assert "; touching up took 1 chip off: 1 chip is on it now." in again


def test_a_chip_that_a_touch_up_may_have_left_is_not_told_as_new(tmp_path):
    unseen = found(tmp_path, last=1)
    told = " ".join(tool_sentences(unseen, "H1"))
    assert "2 chips (new or old: unknown, 1 of them new for sure)" in told
    (one,) = [one for one in unseen.doubts if one.code == "old_or_new_after_touch_up"]
    assert one.where.blade == "H1"


def test_a_chip_first_counted_at_a_trial_is_not_laid_to_the_chopping(tmp_path):
    nailed = found(tmp_path, last=1, touch_up=False, more=())
    assert "first counted" not in " ".join(tool_sentences(nailed, "H1"))
    more = ["H1,inspection,3,,,,,,,0,", "H1,knot,3,,,,,,,1,fail"]
    told = " ".join(tool_sentences(found(tmp_path, last=1, more=more), "H1"))
    assert "2 new chips" in told
    assert "; 1 of them first counted after the knot trial, which may have made it." in told


def test_frozen_wood_is_not_told_as_untried_and_a_balance_is_told_without_a_stopwatch(tmp_path):
    held = "grip_mm = 60\nstrike_mm = 300\nhandle_front_mm = 130\nmass_g = 700\nbalance_mm = {}\n"
    tables = "".join(
        f"[handling.{name}]\n{held.format(mm)}" for name, mm in (("H1", 185), ("O1", 172))
    )
    frozen = found(tmp_path, board="frozen board", facts=tables)
    assert {one.where.blade for one in frozen.doubts if one.code == "frost_told"} == {"H1", "O1"}
    assert "O1, as typed: mass 700 g, balance 42 mm ahead of the handle" in frozen.summary()
    rows = dict(tool_rows(frozen, frozen.study.blade("H1"), "metric"))
    assert rows["Of this tool"] == "mass 700 g, balance 55 mm ahead of the handle"
    assert rows["Of O1 beside it"] == (
        "mass 700 g, balance 42 mm ahead of the handle, angle and steel not noted"
    )
    assert "told frozen for 4 of 4 pieces, taken as thawed" in rows["About the wood"].lower()
    (page,) = build_sheets(frozen, tmp_path, kinds=["html"])
    assert (
        "nor other wood, splitting, standing stems, slanting cuts, levering, throwing"
        in page.read_text(encoding="utf-8")
    )


def test_what_nobody_noted_of_the_tool_beside_it_stands_on_page_one(result):
    rows = dict(tool_rows(result, result.study.blade("H1"), "metric"))
    assert rows["Of O1 beside it"] == "angle, steel and weight not noted"


def test_where_new_damage_sits_stands_in_its_sentence_and_beside_its_count(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = "blade,kind,chops,diameter_mm,chips_count,rolls_count,damage_at\n" + "\n".join((
        "H1,inspection,,,1,0,heel", "H1,billet,20,50,1,0,heel", "H1,billet,20,50,2,0,near the toe",
        "H1,billet,20,50,2,1,belly", "H1,billet,20,50,2,1,toe and belly",
    ))  # fmt: skip
    (tmp_path / "chops.csv").write_text(rows, encoding="utf-8")
    marked = analyse_chops(open_chops(tmp_path))
    (said,) = [one for one in tool_sentences(marked, "H1") if one.startswith("After 80 chops")]
    assert (
        "1 new chip and 1 new roll (counted by eye), at: near the toe and belly; it began" in said
    )
    (table,) = log_section(marked, "H1", "metric")
    assert table["blocks"][1]["rows"][2][6] == "2 chips, no rolls, at: near the toe"


def test_a_look_that_is_a_photograph_alone_stands_among_the_rows():
    look = ChopRow(2, "H1", "inspection", photo="H1_before_toe.jpg")
    log = SimpleNamespace(rows=[look, ChopRow(3, "H1", "inspection")])
    (rows,) = log_section(SimpleNamespace(log=log), "H1", "metric")
    told = [(row[0], row[2], row[6]) for row in rows["blocks"][1]["rows"]]
    assert told == [("2", "looked at", "photographed")]


def chopped(line, day="", date="", **more):
    return ChopRow(line, "H1", "billet", result="pass", day=day, date=date, **more)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([chopped(2), chopped(3)], ""),
        ([chopped(2, date="21.11.2026"), chopped(5, date="21.11.2026")], " Chopped on 21.11.2026."),
        ([chopped(2, "1"), chopped(3, "1"), chopped(4, "2")],
         " Chopped on day 1 (rows 2 to 3) and day 2 (row 4)."),
        ([chopped(2, date="2026-11-21"), chopped(3, "Sunday"), chopped(4)],
         " Chopped on 2026-11-21 (row 2), Sunday (row 3) and a day that was not noted (row 4)."),
    ],
)  # fmt: skip
def test_the_days_of_the_chopping_stand_above_its_rows_as_typed(rows, said):
    (found,) = log_section(SimpleNamespace(log=SimpleNamespace(rows=rows)), "H1", "metric")
    assert found["blocks"][0]["text"].partition("up to then.")[2] == said


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"mass_g": 505.0, "length_mm": 300.0}, "weighed 505 g at 300 mm long"),
        ({"density_kg_m3": 480.0}, "480 kg/m³"), ({}, ""),
    ],
)  # fmt: skip
def test_what_was_weighed_is_told_among_the_rows(facts, said):
    log = SimpleNamespace(rows=[chopped(2, **facts)])
    (found,) = log_section(SimpleNamespace(log=log), "H1", "metric")
    assert found["blocks"][1]["rows"][0][3] == said


def test_the_tries_of_the_other_tool_stand_beside_its_own(result):
    assert trial_rows(result, "H1") == [
        ("Shaving after the chopping", "passed: 31 strokes after a touch-up; O1 failed"),
            ("Rope cut", "passed; by what rule the maker judged is not noted"),
    ]  # fmt: skip


def test_a_note_is_no_caution_and_a_heat_that_was_not_noted_is_said_to_be(result, tmp_path):
    (page,) = build_sheets(result, tmp_path, blade="H1", kinds=["html"])
    text = page.read_text(encoding="utf-8").replace("\xa0", " ")
    cautions, _, rest = text.partition("Care and cautions")[2].partition("<h2")
    assert "stays in the shop" not in cautions
    assert "The older hatchet stays in the shop." in rest
    assert "harrow tine; heat treatment not noted" in text


def test_green_hardness_is_missed_of_green_wood_alone(result, tmp_path):
    for made, missed in ((result, False), (found(tmp_path / "g", water="green"), True)):
        (page,) = build_sheets(made, tmp_path / made.title[:4] / str(missed), blade="H1",
                               kinds=["html"])  # fmt: skip
        text = page.read_text(encoding="utf-8").replace("\xa0", " ")
        assert ("no published green hardness of European ash" in text) == missed


def test_a_piece_that_still_stood_has_an_arrow_of_some_length_above_its_mark(result):
    (arrow,) = plot_chops(result).figure.axes[0].texts
    assert arrow.xy[1] == 40
    assert arrow.xyann == (0, 15)


@pytest.mark.parametrize(("board", "turned"), [("b", 0), ("the long board", 70)])
def test_labels_that_would_run_into_each_other_are_turned(tmp_path, board, turned):
    axes = plot_chops(found(tmp_path / "a", board=board)).figure.axes[0]
    assert {label.get_rotation() for label in axes.get_xticklabels()} == {turned}
