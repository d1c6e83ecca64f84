"""Every typed reading stands in the document, by run and place; what is left out is marked."""

from math import inf, nan
from types import SimpleNamespace

from edgetest.report.documents.readings_table import MOST, readings_sections
from edgetest.store.log_rows import LogRow
from edgetest.store.logs import LIFE


def reading(cuts, value, *, blade="A", block="roll 1", station="", line=2, **more):
    told = {
        "lower": value,
        "upper": value,
        "source": "log",
        "excluded": False,
        "typed": value,
        "measured": None,
    } | more
    return SimpleNamespace(cuts=cuts, value=value, blade=blade, block=block, station=station,
                           line=line, **told)  # fmt: skip


def result(*readings, name="sever_force_gf", rows=()):
    return SimpleNamespace(
        readings=readings, reading=name, log=SimpleNamespace(rows=rows)
    )  # fmt: skip


def shown(*readings, units="metric", **more):
    (found,) = readings_sections(result(*readings, **more), units)
    (block,) = found["blocks"]
    return [column["title"] for column in block["columns"]], block["rows"], block["caption"]


def test_a_line_holds_the_stages_of_a_run_in_their_order():
    titles, rows, _ = shown(
        reading(50, 181.0), reading(0, 133.0), reading(0, 125.5), reading(0, 140.0, blade="B")
    )
    assert titles == ["Blade read", "Block", "Cuts: thread severing force, gf"]
    assert rows == [["A", "roll 1", "0: 133, 125.5; 50: 181"], ["B", "roll 1", "0: 140"]]


def test_places_along_the_edge_have_lines_of_their_own_in_the_units_asked_for():
    here = [reading(0, 2.5, station="20", block=""), reading(0, 2.7, station="60", block="")]
    titles, rows, _ = shown(*here, name="edge_width_um", units="both")
    assert titles == ["Blade read", "Place", "Cuts: edge width, µm"]
    assert rows == [["A", "20 mm (0.79 in)", "0: 2.5"], ["A", "60 mm (2.4 in)", "0: 2.7"]]


def test_a_bound_is_a_bound_and_what_is_left_out_stands_in_brackets():
    bound = reading(10, nan, lower=400.0, upper=inf)
    _, rows, caption = shown(reading(0, 133.0, excluded=True), bound)
    assert rows == [["A", "roll 1", "0: (133); 10: above 400"]]
    assert "in brackets are left out" in caption
    assert "brackets" not in shown(bound)[2]


def test_a_place_read_twice_shows_both_and_no_stage_of_photographs_is_missing():
    photo = {"source": "photograph", "measured": 10.2}
    here = (reading(50, 5.9), reading(100, 10.26, **photo, typed=8.9))
    _, rows, caption = shown(*here, reading(100, 9.5, **photo | {"typed": None}))
    assert rows == [["A", "roll 1", "50: 5.9; 100: 10.26 p [8.9], 9.5 p"]]
    assert "With a p: from its photograph. In square brackets: the other reading" in caption
    _, rows, caption = shown(reading(100, 8.9, measured=10.26))
    assert rows == [["A", "roll 1", "100: 8.9 [10.26 p]"]]
    assert "With a p" not in caption


def test_a_grade_stands_by_its_name():
    row = SimpleNamespace(line=2, batch="", readings={"grade": SimpleNamespace(text="shaves")})
    assert shown(reading(0, 0.0), name="grade", rows=[row])[1][0][-1] == "0: shaves"


def test_photographs_and_lives_have_tables_of_their_own_and_too_many_are_not_printed():
    of_photo = reading(0, 2.5, source="photograph", typed=None, measured=2.5)
    assert readings_sections(result(of_photo), "metric") == []
    assert readings_sections(result(reading(0, 2.5), name=LIFE), "metric") == []
    (told,) = readings_sections(result(*[reading(0, 2.5)] * (MOST + 1)), "metric")
    assert told["blocks"][0]["text"].startswith("2001 readings were taken")


def test_readings_cut_on_a_roll_begun_in_mid_run_name_it():
    rows = [LogRow(2, "A", 0), LogRow(3, "A", 100), LogRow(4, "A", 130, batch="roll 3"),
            LogRow(5, "A", 160, batch="roll 3"), LogRow(6, "B", 0, batch="roll 1")]  # fmt: skip
    readings = [reading(row.cuts, 5.0, blade=row.blade, line=row.line) for row in rows]
    _, (first, other), _ = shown(*readings, rows=rows)
    assert first == ["A", "roll 1", "0: 5; 100: 5; roll 3 begun; 130: 5; 160: 5"]
    assert other == ["B", "roll 1", "0: 5"]
