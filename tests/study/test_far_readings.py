"""A decimal mark left out, and a place in another unit, are asked about and never changed."""

import pytest

from edgetest.store.logs import read_log
from edgetest.study.far_readings import far_readings

HEAD = "blade,cuts,station_mm,edge_width_um"
WIDTHS = {0: 2.5, 25: 4.0, 50: 5.5, 100: 7.5, 200: 10.5, 400: 14.5}


def log(tmp_path, changed=None, stations=(20, 40, 60)):
    """A log as it should be, with some rows written otherwise."""
    rows = {f"A,{cuts},{at}": f"{width:g}" for cuts, width in WIDTHS.items() for at in stations}
    lines = [HEAD]
    for where, width in rows.items():
        lines.append((changed or {}).get(where, f"{where},{width}"))
    path = tmp_path / "log.csv"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def asked(run, path):
    code, told, _ = run("check", path)
    assert code == 0
    return [line for line in told.splitlines() if line.startswith("asked:")]


def test_nothing_is_asked_of_a_log_as_it_should_be(run, tmp_path):
    assert asked(run, log(tmp_path)) == []


def test_a_decimal_mark_left_out_is_asked_about_at_its_row_alone(run, tmp_path):
    (told,) = asked(run, log(tmp_path, {"A,100,40": "A,100,40,75"}))
    assert "row 12, edge_width_um: 75, where the readings beside it are about 7.5" in told


def test_of_one_station_the_stages_on_either_side_are_asked(run, tmp_path):
    (told,) = asked(run, log(tmp_path, {"A,100,20": "A,100,20,0.75"}, stations=(20,)))
    assert "0.75, where the readings beside it are about 8" in told


def test_a_row_that_is_set_aside_is_not_asked_about(run, tmp_path):
    path = log(tmp_path, {"A,100,40": "A,100,40,75"})
    lines = path.read_text("utf-8").splitlines()
    named = [f"{line},{'slip' if ',75' in line else ''}" for line in lines[1:]]
    path.write_text("\n".join([f"{lines[0]},exclude", *named]) + "\n", "utf-8")
    assert asked(run, path) == []


def test_a_place_in_another_unit_is_asked_about_once(run, tmp_path):
    (told,) = asked(run, log(tmp_path, {"A,100,20": "A,100,0.787 in,7.5"}))
    assert "row 11, station_mm: 19.9898 mm is nearly 20 mm of 5 other rows" in told


def test_the_row_just_entered_is_asked_about(run, tmp_path):
    folder = tmp_path / "s"
    run("new", folder, "--protocol", "sisal_rope", "--from", log(tmp_path))
    code, told, err = run("enter", folder, "blade=A", "cuts=400", "station_mm=80",
                          "edge_width_um=145")  # fmt: skip
    assert code == 0, err
    assert "145, where the readings beside it are about 14.5" in told + err


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (["A,0,20,2.4", "A,0,60,27"], "27, where the readings beside it are about 2.4"),
        (["A,0,20,2.4", "B,0,20,2.6", "C,0,20,27"], "27, where the readings beside it are about"),
        (["A,0,20,2.4", "B,0,20,2.6", "C,0,20,9"], None),
        (["A,0,20,2.4", "B,0,20,27", "C,0,20,9"], None),  # nobody can say which is odd
    ],
)
def test_a_fresh_edge_is_held_against_the_other_fresh_edges(tmp_path, rows, said):
    path = tmp_path / "log.csv"
    path.write_text("\n".join([HEAD, *rows]) + "\n", "utf-8")
    found = [str(one) for one in far_readings("log.csv", read_log(path).rows)]
    assert len(found) == (said is not None)
    assert all(said in one for one in found)


@pytest.mark.parametrize(("others", "width", "far"), [
    ((5.4, 6.8, 6.0), 62, True), ((5.4, 6.8, 6.0), 25, False), ((5.4, 6.8, 15.0), 62, False),
    ((6.0,), 62, False),
])  # fmt: skip
def test_the_first_worn_reading_of_a_blade_is_held_against_others_at_as_many_cuts(
    tmp_path, others, width, far
):
    """At the bench, before the next stages are in; the fresh edge was too fine to be read."""
    rows = [f"A,50,{10 * n},{value}" for n, value in enumerate(others)]
    path = tmp_path / "log.csv"
    path.write_text("\n".join([HEAD, *rows, "B,0,10,<3", f"B,50,10,{width}", ""]), "utf-8")
    read = read_log(path)
    asked = [str(one) for one in far_readings(read.name, read.rows, read.rows[-1].line)]
    assert len(asked) == far
    assert all("62, where the readings beside it are about 6" in one for one in asked)
