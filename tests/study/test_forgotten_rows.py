"""A row forgotten among the readings of a stage is asked about at its place."""

from dataclasses import replace

from edgetest.app.page_words import on_page
from edgetest.store.cells import Reading
from edgetest.store.log_rows import LogRow
from edgetest.study.forgotten_rows import forgotten_rows

FORCES_GF = (101.0, 104.0, 99.0)
STAGES = (0, 25, 50, 100)


def log_rows(left_out=(), set_aside=(), waiting=(), note=""):
    """Three readings at each of four stages of two blades, but for what is named."""
    line = 1
    for blade in ("A", "B"):
        for cuts in STAGES:
            for check, force in enumerate(FORCES_GF, 1):
                place = (blade, cuts, check)
                if place in left_out:
                    continue
                line += 1
                readings = (
                    {}
                    if place in waiting
                    else {"sever_force_gf": Reading(force, force, force, "value")}
                )
                exclude = "slipped" if place in set_aside else ""
                yield LogRow(line, blade, cuts, readings=readings, check_no=check,
                             block="roll 1", exclude=exclude,
                             note=note if place in waiting else "")  # fmt: skip


def asked(**changed):
    return [str(one) for one in forgotten_rows("log.csv", list(log_rows(**changed)))]


def test_nothing_is_asked_where_all_stages_have_as_many():
    assert asked() == []


def test_two_readings_where_all_other_stages_have_three_are_told_with_their_place():
    (told,) = asked(left_out={("B", 25, 2)})
    assert "log.csv, row 18, sever_force_gf" in told
    assert "put its row into the file below this one, not at the end; if it was not taken" in told
    assert on_page(told).endswith(
        "if it was forgotten, put its row into the file below this one, not at the end; if it was "
        "not taken, leave it"
    )
    assert (
        "2 readings of blade B at 25 cuts on roll 1, where 7 of the log's 8 stages have 3" in told
    )


def test_a_place_that_a_blade_was_never_read_at_is_asked_about_once():
    """Of eight blades one was never read a third time; a second one lacks one stage."""
    rows = [
        replace(row, blade=f"{row.blade}{k}", line=100 * k + row.line)
        for k in range(4)
        for row in log_rows()
    ]
    rows = [row for row in rows if (row.blade, row.check_no) != ("A2", 2)]
    rows = [row for row in rows if (row.blade, row.cuts, row.check_no) != ("B0", 25, 2)]
    one, never = sorted(str(each) for each in forgotten_rows("log.csv", rows))
    assert "row 19, sever_force_gf: 2 readings of blade B0 at 25 cuts on roll 1" in one
    assert "row 204, " in never
    assert "if they were forgotten, enter each with" in never
    assert "put each row into the file below those of its stage; if they were" in on_page(never)
    assert "2 readings of blade A2 at each of its 4 stages on roll 1, where 27 of" in never


def test_a_row_set_aside_was_not_forgotten():
    assert asked(set_aside={("B", 25, 2)}) == []


def test_a_stage_set_aside_and_read_anew_has_as_many_as_the_others():
    """A run spoilt by a nail and run again stands twice in the log: its stages hold no more."""
    rows = list(log_rows(left_out={("B", 25, 2)}))
    spoilt = [replace(row, line=100 + row.line, exclude="nail") for row in rows if row.blade == "A"]
    (told,) = (str(one) for one in forgotten_rows("log.csv", [*rows, *spoilt]))
    assert "where 7 of the log's 8 stages have 3" in told
    rows = list(log_rows())
    anew = replace(rows[2], line=200, exclude="slipped")
    of_two = [anew if row is rows[1] else row for row in rows]
    assert any("blade A at 0 cuts" in str(one) for one in forgotten_rows("log.csv", of_two))


def test_a_row_that_waits_is_told_once_the_bench_went_on():
    (told,) = asked(waiting={("B", 25, 2)})
    assert "log.csv, row 18, sever_force_gf" in told
    assert "fill it in if it was forgotten" in told
    assert asked(waiting={("B", 100, 2), ("B", 100, 3)}) == []


def test_a_row_that_waits_with_its_reason_was_not_forgotten():
    assert asked(waiting={("B", 25, 2)}, note="page wet, reading lost") == []


def test_readings_taken_now_twice_and_now_thrice_have_no_usual_number():
    assert asked(left_out={("B", 25, 2), ("A", 0, 1), ("A", 50, 3)}) == []


def test_check_asks_about_it(run, tmp_path):
    rows = list(log_rows(left_out={("B", 25, 2)}))
    lines = [
        f"{row.blade},{row.cuts},{row.check_no},{row.readings['sever_force_gf'].value:g}"
        for row in rows
    ]
    path = tmp_path / "log.csv"
    path.write_text("\n".join(["blade,cuts,check_no,sever_force_gf", *lines]) + "\n", "utf-8")
    code, told, _ = run("check", path)
    assert code == 0
    assert "asked: log.csv, row 18, sever_force_gf: 2 readings of blade B at 25 cuts" in told


def test_a_photograph_counts_as_the_reading_that_it_gives():
    typed = [row(line, cuts, width=8.0) for line, cuts in enumerate((0, 0, 25, 25, 50, 50), 2)]
    mixed = [row(8, 100, width=8.2, photo="a.jpg"), row(9, 100, photo="b.jpg")]
    assert list(forgotten_rows("log.csv", [*typed, *mixed])) == []
    (told,) = forgotten_rows("log.csv", [*typed, mixed[1]])
    assert "row 9, edge_width_um: 1 reading of blade A at 100 cuts" in str(told)


def row(line, cuts, *, width=None, photo=""):
    readings = {"edge_width_um": Reading(width, width, width, "value")} if width else {}
    return LogRow(line, "A", cuts, readings=readings, photo=photo)
