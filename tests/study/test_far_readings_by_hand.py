"""A reading five times off its neighbours, and places a millimetre apart: both sides of each."""

from types import SimpleNamespace

import pytest

from edgetest.study.far_readings import far_readings, near_places


def row(line, cuts, value, *, reading="edge_width_um", block="", blade="A", exclude="", at=None,
        waiting=False):  # fmt: skip
    readings = {} if value is None else {reading: SimpleNamespace(value=value)}
    return SimpleNamespace(line=line, cuts=cuts, readings=readings, block=block, blade=blade,
                           exclude=exclude, station_mm=at, waiting=waiting)  # fmt: skip


def far(rows, only=None):
    return [(one.row, one.what.split(",")[0]) for one in far_readings("log.csv", rows, only)]


@pytest.mark.parametrize(
    ("value", "asked"), [(25.0, False), (25.1, True), (1.0, False), (0.99, True), (5.0, False)]
)
def test_five_times_the_others_of_a_stage_is_asked_about(value, asked):
    rows = [row(2, 0, 5.0), row(3, 0, value), row(4, 0, 5.0)]
    assert far(rows) == ([(3, f"{value:g}")] if asked else [])


def test_of_two_at_a_stage_the_stages_on_either_side_are_asked():
    """The middle of 4 and 6 is 5; one stage before or after alone says nothing."""
    stages = [row(2, 0, 4.0), row(3, 10, 30.0), row(4, 20, 6.0)]
    assert far(stages) == [(3, "30")]
    assert far(stages[:2]) == []
    assert far(stages[1:]) == []
    assert far([row(2, 0, 4.0), row(3, 10, 24.9), row(4, 20, 6.0)]) == []
    two = [row(2, 0, 4.0), row(3, 10, 30.0), row(4, 10, 5.0), row(5, 20, 6.0)]
    assert far(two) == [(3, "30")]


def test_neighbours_that_are_unlike_themselves_say_nothing():
    apart = [row(2, 0, 1.0), row(3, 10, 100.0), row(4, 20, 5.1)]
    assert far(apart) == []
    alike = [row(2, 0, 1.0), row(3, 10, 100.0), row(4, 20, 5.0)]
    assert far(alike) == [(3, "100")]


@pytest.mark.parametrize(
    "odd",
    [row(3, 0, 99.0, exclude="slip"), row(3, 0, None), row(3, 0, 0.0), row(3, 0, -99.0),
     row(3, 0, 99.0, reading="x_count")],
)  # fmt: skip
def test_what_does_not_count_or_stands_apart_is_not_asked_about(odd):
    assert far([row(2, 0, 5.0), odd, row(4, 0, 5.0), row(5, 0, 5.0)]) == []


@pytest.mark.parametrize("of", [{"blade": "B"}, {"block": "r2"}])
def test_a_first_worn_edge_of_another_blade_or_roll_is_held_to_five_times_the_others(of):
    for width, odd in ((24.9, []), (99.0, [(3, "99")])):
        rows = [row(2, 9, 5.0), row(3, 9, width, **of), row(4, 9, 5.0), row(5, 9, 5.0)]
        assert far(rows) == odd


def test_only_the_row_that_is_wanted_is_asked_about():
    rows = [row(2, 0, 5.0), row(3, 0, 5.0), row(4, 0, 5.0), row(5, 0, 90.0), row(6, 10, 5.0),
            row(7, 10, 90.0), row(8, 10, 5.0)]  # fmt: skip
    assert [at for at, _ in far(rows)] == [5, 7]
    assert far(rows, 7) == [(7, "90")]
    assert far(rows, 4) == []
    (told,) = far_readings("log.csv", rows, 7)
    assert told.what == "90, where the readings beside it are about 5"


def near(places, only=None):
    rows = [row(n, 0, None, at=at) for n, at in enumerate(places, 2)]
    return [(one.row, one.what) for one in near_places("log.csv", rows, only)]


@pytest.mark.parametrize(
    ("place", "asked"), [(21.5, True), (18.5, True), (21.6, False), (20.0, False)]
)
def test_a_place_within_one_and_a_half_millimetres_is_nearly_one(place, asked):
    told = near([20.0] * 4 + [place])
    assert told == ([(6, f"{place:g} mm is nearly 20 mm of 4 other rows")] if asked else [])


def test_a_place_is_asked_about_where_the_usual_one_has_four_times_as_many_rows():
    assert near([20.0] * 3 + [20.5]) == []
    assert near([20.0] * 4 + [20.5]) == [(6, "20.5 mm is nearly 20 mm of 4 other rows")]
    assert near([20.0] * 7 + [20.5] * 2) == []
    assert near([20.5] + [20.0] * 8 + [20.5]) == [(2, "20.5 mm is nearly 20 mm of 8 other rows")]


def test_of_two_usual_places_the_nearer_is_named():
    told = near([20.0] * 4 + [21.0] * 4 + [20.7])
    assert told == [(10, "20.7 mm is nearly 21 mm of 4 other rows")]


def test_of_the_row_just_entered_its_last_place_is_asked_about():
    places = [20.5] + [20.0] * 8 + [20.5]
    assert near(places, 11) == [(11, "20.5 mm is nearly 20 mm of 8 other rows")]
    assert near(places, 2) == []


def test_rows_set_aside_waiting_or_without_a_place_are_none():
    rows = [row(n, 0, None, at=20.0) for n in range(2, 6)]
    for odd in (row(9, 0, None, at=20.5, exclude="slip"), row(9, 0, None, at=20.5, waiting=True),
                row(9, 0, None)):  # fmt: skip
        assert list(near_places("log.csv", [*rows, odd])) == []
