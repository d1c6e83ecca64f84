"""A reading far off the wear of its own blade is asked about; what merely scatters is not."""

from types import SimpleNamespace

from edgetest.study.off_the_wear import off_the_wear

WIDTHS = {0: 2.5, 30: 4.3, 60: 5.9, 100: 7.6, 160: 9.6, 200: 10.8, 250: 12.2, 300: 13.4}


def rows_of(widths, station=40, hurt_at=None):
    return [
        SimpleNamespace(
            line=line, blade="B1", block="roll 1", station_mm=station, cuts=cuts, exclude="",
            readings={"edge_width_um": SimpleNamespace(value=width)},
            mishap="chip 0.5 mm" if cuts == hurt_at else "",
        )
        for line, (cuts, width) in enumerate(widths.items(), start=2)
    ]  # fmt: skip


def asked(widths, only=None):
    return [str(each) for each in off_the_wear("log.csv", rows_of(widths), only)]


def test_nothing_is_asked_of_an_edge_that_wears_as_edges_do():
    assert asked(WIDTHS) == []


def test_a_width_between_two_stages_is_held_against_both():
    (told,) = asked({**WIDTHS, 100: 12.7})
    assert "log.csv, row 5, edge_width_um: 12.7, where" in told
    assert "where about 7.6 is expected" in told


def test_the_last_width_grows_no_faster_than_its_cuts():
    (told,) = asked({0: 2.5, 30: 4.3, 60: 56})
    assert "row 4, edge_width_um: 56," in told
    assert "where 4.3 to 8.6 is expected" in told
    assert asked({0: 2.5, 30: 4.3, 60: 12.0}) == []


def test_the_slip_is_asked_about_and_not_the_readings_beside_it():
    (told,) = asked({**WIDTHS, 60: 59})
    assert "row 4" in told
    (told,) = asked({**WIDTHS, 0: 25})
    assert "row 2, edge_width_um: 25," in told
    assert "where at most 4.3 is expected" in told


def test_what_was_read_before_a_mishap_is_not_held_against_what_came_after_it():
    chipped = {**WIDTHS, 160: 22.7, 200: 27.8, 250: 31.0, 300: 35.5}
    (told,) = asked(chipped)  # of a sound reading, by the chipped ones
    assert "row 5, edge_width_um: 7.6," in told
    assert list(off_the_wear("log.csv", rows_of(chipped, hurt_at=160))) == []
    # a slip before it, and one after it, are found still, and so is one at another place
    for cuts, line in ((60, 4), (250, 8)):
        slip = rows_of({**chipped, cuts: 2.5 * chipped[cuts]}, hurt_at=160)
        (told,) = map(str, off_the_wear("log.csv", slip))
        assert f"row {line}," in told
    elsewhere = rows_of({**WIDTHS, 100: 12.7}, station=60)
    (told,) = map(str, off_the_wear("log.csv", [*rows_of(chipped, hurt_at=160), *elsewhere]))
    assert "row 5, edge_width_um: 12.7," in told


def test_a_mishap_without_a_place_parts_every_place():
    whole = rows_of({160: 0.0}, station=None, hurt_at=160)
    rows = [*rows_of({**WIDTHS, 160: 22.7, 200: 27.8, 250: 31.0, 300: 35.5}), *whole]
    assert list(off_the_wear("log.csv", rows)) == []


def test_an_edge_that_reads_sharper_at_several_places_may_have_been_touched_up():
    low = {**WIDTHS, 160: 4.0}
    two = [row for place in (20, 40) for row in rows_of(low, place)]
    [told, _] = map(str, off_the_wear("log.csv", two))
    assert "begin a new block if the edge was touched up there; if neither, leave it" in told
    (one,) = asked(low)
    assert "touched up" not in one


def test_readings_that_scatter_widely_are_let_scatter():
    uneven = {cuts: width * (1.8 if i % 2 else 1) for i, (cuts, width) in enumerate(WIDTHS.items())}
    rows = [row for place in (20, 40, 60) for row in rows_of(uneven, place)]
    assert list(off_the_wear("log.csv", rows)) == []


def test_a_burr_on_every_fresh_edge_is_one_question():
    burred = {**WIDTHS, 0: 9.5}
    rows = [row for place in (20, 40, 60) for row in rows_of(burred, place)]
    for line, row in enumerate(rows, start=2):
        row.line = line
    (told,) = off_the_wear("log.csv", rows)
    assert str(told).startswith("log.csv, rows 2, 10, 18, edge_width_um: most first readings")
    assert "burr" in told.mend
    rows[0].readings["edge_width_um"].value = 2.5
    rows[8].readings["edge_width_um"].value = 2.5
    (told,) = off_the_wear("log.csv", rows)
    assert told.what.startswith("9.5, where at most 4.3 is expected")


def test_check_and_the_prompt_ask_about_it(run, tmp_path):
    path = tmp_path / "log.csv"
    lines = [f"B1,{cuts},40,{width:g}" for cuts, width in ({**WIDTHS, 100: 12.7}).items()]
    path.write_text("\n".join(["blade,cuts,station_mm,edge_width_um", *lines]) + "\n", "utf-8")
    code, told, _ = run("check", path)
    assert code == 0
    assert "asked: log.csv, row 5, edge_width_um: 12.7, where about 7.6" in told
    folder = tmp_path / "study"
    run("new", folder, "--protocol", "manila_rope", "--from", path)
    code, told, err = run("enter", folder, "blade=B1", "cuts=400", "station_mm=40",
                          "edge_width_um=56")  # fmt: skip
    assert code == 0, err
    assert "56, where 13 to 18 is expected by this blade's readings" in told + err


def test_the_one_row_that_was_entered_is_asked_about_alone():
    assert len(asked({**WIDTHS, 100: 12.7}, only=5)) == 1
    assert asked({**WIDTHS, 100: 12.7}, only=6) == []
