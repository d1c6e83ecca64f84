"""A typed reading that lies apart from its photograph is asked about, by what both may err."""

from types import SimpleNamespace

import pytest

from edgetest.store.cells import parse_reading
from edgetest.study.photos import measure_changed, measured_table
from edgetest.study.wear import typed_beside_photo as module
from edgetest.study.wear.typed_beside_photo import (
    apart,
    apart_doubts,
    asked_of_typed_beside,
    lean_share,
)

SEEN = {"mean": 10.26, "low": 9.99, "high": 10.78}
NUMBERS = {"width_um": SEEN, "w30_um": None}


def row(line=40, **more):
    told = {"blade": "JMD", "cuts": 100, "station_mm": 40, "exclude": "", "photo": "a.jpg"} | more
    return SimpleNamespace(line=line, **told)


def read(text):
    return parse_reading(text, "um")


def lines(*texts, repeats=None):
    seen = {"value": 10.26, "low": 9.99, "high": 10.78}
    pairs = [(row(line), read(text), seen) for line, text in enumerate(texts, 2)]
    return [one.line for one in apart(pairs, repeats)]


def test_a_number_is_apart_beyond_both_uncertainties_and_not_within():
    good = SimpleNamespace(relative_at=lambda _: 0.027)
    assert lines("8.9", repeats=good) == lines("19") == lines("8.9") == [2]
    assert lines("9.9", repeats=good) == lines("9.6") == lines("11.3") == []
    assert lines("9.6", repeats=SimpleNamespace(relative_at=lambda _: 0.005)) == [2]


def test_more_rows_ask_for_more_between_the_two():
    assert lines("9.2") == [2]
    assert lines(*["9.2"] * 9) == []


def test_a_bound_is_apart_by_its_end():
    assert lines("<8", ">8", "<11") == [2]


def test_the_doubt_names_the_row_and_both_numbers():
    rows = [(row(), read("8.9"), NUMBERS), (row(41), None, NUMBERS), (row(42), read("8"), None)]
    (told,) = apart_doubts("edge_width_um", rows, None, "the photographs'")
    assert "row 40 (JMD, 100 cuts, 40 mm) 8.9 µm typed, 10.26 µm photographed" in told.text
    assert apart_doubts("edge_width_um", [(row(exclude="slip"), *rows[0][1:])], None, "") == []
    bound = {"width_um": None, "w30_um": None}
    assert apart_doubts("edge_width_um", [(row(), read("8"), bound)], None, "") == []


@pytest.mark.parametrize(("wait", "asked"), [((), 1), (("a.jpg",), 0)])
def test_check_asks_where_the_photograph_is_measured_already(monkeypatch, wait, asked):
    one = row(readings={"edge_width_um": read("89")}, scale="")
    study = SimpleNamespace(scales={}, scale=None)
    source = SimpleNamespace(
        study=study, path="here", log=SimpleNamespace(name="log.csv", rows=[one])
    )
    task = SimpleNamespace(photo="a.jpg")
    monkeypatch.setattr(module, "kept_repeats", lambda _: {})
    monkeypatch.setattr(module, "photo_tasks", lambda _: ([task], ()))
    monkeypatch.setattr(measure_changed, "waiting_tasks", lambda tasks, _: [task] if wait else [])
    kept = {"a.jpg": {"numbers": NUMBERS}}
    monkeypatch.setattr(measured_table, "read_measured", lambda _: kept)
    told = [str(each) for each in asked_of_typed_beside(source)]
    assert len(told) == asked
    said = "log.csv, row 40, edge_width_um: 89 µm is typed and its photograph gives 10.26 µm: 767 %"
    assert all(each.startswith(said) for each in told)
    del one.readings["edge_width_um"]
    assert list(asked_of_typed_beside(source)) == []


def test_a_photograph_that_gives_bounds_alone_is_held_to_them():
    rows = [(row(), read("12"), {"width_um": None, "below_um": 3.0, "w30_um": None})]
    (told,) = apart_doubts("edge_width_um", rows, None, "")
    assert "12 µm typed, <3 µm photographed" in told.text
    for within in ("2.8", "3.2", "<20", ">2"):
        assert apart_doubts("edge_width_um", [(row(), read(within), rows[0][2])], None, "") == []
    between = {"width_um": None, "w30_um": {"value": None, "low": 5.0, "high": 9.0}}
    (told,) = apart_doubts("w30_um", [(row(), read("<3"), between)], None, "")
    assert "<3 µm typed, >5 µm photographed" in told.text


def leaning(share, *, low=9.99, high=10.78, n=8):
    seen = {"width_um": {"mean": 10.26, "low": low, "high": high}, "w30_um": None}
    rows = [(row(line), read(f"{10.26 * (1 + share):.3f}"), seen) for line in range(2, 2 + n)]
    return [one.text for one in apart_doubts("edge_width_um", rows, None, "the typed ones")]


def test_a_hand_that_leans_one_way_is_told_of_all_places_together():
    (told,) = leaning(0.09)
    assert told.startswith(
        "Over 8 places with both, the typed readings are on the whole 9 % larger"
    )
    assert "neither the lives nor their intervals count that" in told
    (told,) = leaning(-0.07)
    assert "7 % smaller" in told
    assert leaning(0.03) == leaning(0.09, n=2) == []
    # An error that the photographs share is not made smaller by more of them.
    assert leaning(0.09, high=12.0, n=40) == []


def test_numbers_said_to_have_no_error_lean_by_their_plain_mean():
    sure = SimpleNamespace(relative_at=lambda _: 0.0)
    seen = {"value": 10.0, "low": 10.0, "high": 10.0}
    pairs = [(row(k), read(width), seen) for k, width in enumerate(("10.5", "11", "11.5"))]
    share, count = lean_share(pairs, sure)
    assert (round(share, 3), count) == (0.099, 3)


def test_places_apart_by_themselves_stand_apart_from_those_taken_together():
    seen = {"width_um": SEEN, "w30_um": None}
    rows = [(row(k), read("11.2"), seen) for k in range(2, 10)] + [(row(20), read("20"), seen)]
    one, together = apart_doubts("edge_width_um", rows, None, "")
    assert "row 20 (JMD, 100 cuts, 40 mm) 20 µm typed" in one.text
    assert together.text.startswith("Over the other 8 places with both")
    assert (together.code, together.where.value) == ("hand_leans", "9.2 % larger")
    assert apart_doubts("edge_width_um", [(row(), read("10"), seen), rows[-1]], None, "") != []
