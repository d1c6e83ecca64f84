"""Looks at an edge: rows that are one look, which counts are used, what goes to the numbers."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.chop_looks import Look, looks
from edgetest.study.chop.damage_counted import inspections
from edgetest.study.chop.edge_damage import EdgeDamage
from edgetest.study.chop.growth_between import Growth


def seen(chips=(), rolls=(), *, measured=True, length_um=80_000.0, name="a.png"):
    numbers = {
        "edge_length_um": length_um,
        "chips": [{"depth_um": depth} for depth in chips],
        "rolls": [{"depth_um": depth} for depth in rolls],
    }
    return SimpleNamespace(photo=name, measured=measured, numbers=numbers, doubts=(),
                           to_dict=lambda: {"photo": name})  # fmt: skip


def look(*, when="after", chips=None, rolls=None, photos=(), source="log", missing=(),
         length=100.0, blade="H1", standing=None, chops=20):  # fmt: skip
    stands = standing or EdgeDamage(seen=(("chips", 3, 2), ("rolls", 1, 2)))
    counts = {"chips": chips, "rolls": rolls}
    return Look(blade, chops, when, (2,), counts, None, tuple(photos), tuple(missing), length,
                source, stands)  # fmt: skip


def row(line, kind="inspection", blade="H1", **more):
    return ChopRow(line, blade, kind, **more)


def of_log(*rows):
    return looks(SimpleNamespace(rows=rows), None, None)


def billet(line, **more):
    return row(line, "billet", result="pass", **more)


def test_rows_without_work_between_them_are_one_look_and_the_worst_stands():
    found = of_log(
        row(2, chips_count=0), row(3, chips_count=1, largest_chip_mm=0.2),
        billet(4), row(5, chips_count=2), row(6, rolls_count=1, largest_chip_mm=0.4),
    )  # fmt: skip
    assert [(one.when, one.rows) for one in found] == [("before", (2, 3)), ("after", (5, 6))]
    before, after = found
    assert (before.counted, before.largest_chip_mm) == ({"chips": 1, "rolls": None}, 0.2)
    assert (after.counted, after.largest_chip_mm) == ({"chips": 2, "rolls": 1}, 0.4)
    assert after.source == "log"
    assert after.edge_length_mm is None


def test_a_look_between_two_pieces_is_neither_before_nor_after():
    found = of_log(billet(2, chips_count=0), billet(3, chips_count=1), billet(4, chips_count=1))
    assert [one.when for one in found] == ["between", "between", "after"]


def test_a_look_at_a_piece_that_is_left_out_counts_and_one_that_is_left_out_itself_does_not():
    rows = [row(2, chips_count=0), billet(3, chips_count=2, exclude="lost count"),
            row(4, chips_count=5, exclude="slip")]  # fmt: skip
    *_, last = of_log(*rows)
    assert (last.when, last.counted["chips"], last.standing.worst("chips")) == ("after", 2, 2)


def test_looks_of_two_blades_do_not_mix():
    found = of_log(
        row(2, chips_count=0), row(3, blade="H2", chips_count=5), row(4, chips_count=1),
        billet(5), row(6, chips_count=2), billet(7, blade="H2", chips_count=6),
    )  # fmt: skip
    assert [(one.blade, one.when, one.rows) for one in found] == [
        ("H1", "before", (2, 4)), ("H2", "before", (3,)), ("H1", "after", (6,)),
        ("H2", "after", (7,)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "nothing", [row(3), row(3, chips_count=1, exclude="slip"), row(3, "shave", result="pass")]
)
def test_a_row_that_says_nothing_of_the_edge_is_no_look(nothing):
    assert [one.rows for one in of_log(billet(2), nothing)] == []


def test_a_touch_up_ends_a_look_and_is_no_work():
    found = of_log(row(2, chips_count=0), row(3, "touch-up"), row(4, chips_count=0))
    assert [(one.when, one.rows) for one in found] == [("before", (2,)), ("before", (4,))]


def test_counts_come_from_the_source_in_use():
    by_photo = look(source="photographs", photos=[seen([10.0, 20.0]), seen([30.0], [5.0])])
    assert by_photo.count("chips") == (3, 160.0)
    assert by_photo.count("rolls") == (1, 160.0)
    assert by_photo.used("chips") == by_photo.seen("chips")
    by_log = look(photos=[seen([10.0])])
    assert by_log.count("chips") == (3, 100.0)
    assert by_log.used("chips") == []
    assert look(standing=EdgeDamage()).count("chips") is None
    assert look(source=None).count("chips") is None


def test_a_side_view_that_was_refused_shows_nothing():
    refused = look(photos=[seen([10.0]), seen([20.0], measured=False)])
    assert len(refused.seen("chips")) == 1
    assert refused.photo_length_mm == 80.0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"chips": 2}, "H1, after (20 chops): 2 chips by eye; used: log"),
        ({"photos": [seen([10.0])]}, "H1, after (20 chops): 1 chip in 1 photograph; used: log"),
        (
            {"chips": 0, "photos": [seen(), seen()], "source": "photographs"},
            "H1, after (20 chops): 0 chips by eye, 0 chips in 2 photographs; used: photographs",
        ),
        ({"source": None, "chips": 1}, "H1, after (20 chops): 1 chip by eye"),
        ({"chips": 1, "rolls": 2}, "H1, after (20 chops): 1 chip and 2 rolls by eye; used: log"),
    ],
)
def test_a_look_in_a_sentence(more, said):
    assert look(**more).summary() == said


def test_what_a_look_has_of_photographs_is_told_only_where_there_are_any():
    assert look().to_dict()["from_photographs"] is None
    told = look(photos=[seen([10.0, 30.0], [5.0])]).to_dict()["from_photographs"]
    assert (told["chips"], told["rolls"], told["deepest_chip_um"]) == (2, 1, 30.0)
    assert look(missing=["b.png"]).to_dict()["from_photographs"]["missing"] == ["b.png"]


def new(count, *, chops=20, length=100.0, blade="H1", kind="chips"):
    return Growth(blade, kind, count, 0, length, chops, "counts", count or 0, 9, (7.0,))


def test_inspections_are_told_by_kind_and_time():
    before = look(when="before", source="photographs", photos=[seen([10.0])])
    found = inspections([before, look()], [new(2)], depth_limit_um=50.0)
    told = {(one.kind, one.when): one for one in found}
    assert set(told) == {
        ("chips", "before"), ("rolls", "before"), ("chips", "after"), ("rolls", "after"),
        ("chips", "during"),
    }  # fmt: skip
    first = told["chips", "before"]
    assert (list(first.count), list(first.edge_length_mm), first.chops) == ([1], [80.0], {})
    assert list(first.depth_um) == [10.0]
    assert first.depth_limit_um == 50.0
    assert list(told["chips", "after"].depth_um) == []
    during = told["chips", "during"]
    assert (list(during.count), during.chops, list(during.depth_um)) == ([2], {"H1": 20}, [7.0])


def test_a_kind_that_counts_by_eye_is_told_by_eye_though_it_was_photographed():
    both = look(source="photographs", photos=[seen([10.0], [9.0, 9.0, 9.0])])
    found = inspections([replace(both, by_kind=(("rolls", "log"),))], [])
    told = {one.kind: one for one in found}
    assert (list(told["chips"].count), list(told["chips"].edge_length_mm)) == ([1], [80.0])
    assert (list(told["rolls"].count), list(told["rolls"].edge_length_mm)) == ([1], [100.0])
    assert (list(told["chips"].depth_um), list(told["rolls"].depth_um)) == ([10.0], [])


def test_an_edge_of_unknown_length_and_unknown_growth_tell_no_rate():
    assert inspections([look(length=None)], [new(2, length=None), new(None)]) == ()
    (one,) = inspections([], [new(2, length=None), new(1, blade="H2")])
    assert list(one.blade) == ["H2"]


def test_the_edge_after_the_test_has_what_an_earlier_picture_of_it_shows():
    """A last, nearer picture that lacks a roll does not heal it: during and after agree."""
    shown = seen(rolls=[50.0], length_um=72_000.0)
    looked = [
        look(when="between", source="photographs", photos=[shown], chops=12),
        look(source="photographs", photos=[seen(length_um=48_000.0)]),
    ]
    grown = [Growth("H1", "rolls", 1, 0, 72.0, 20, "photographs", 1, 1, seen_after=12,
                    source="photographs")]  # fmt: skip
    rolls = {one.when: one for one in inspections(looked, grown) if one.kind == "rolls"}
    for when in ("after", "during"):
        assert (rolls[when].count, rolls[when].edge_length_mm) == ((1,), (72.0,)), when


def test_a_look_at_a_touched_up_edge_before_it_works_is_fresh():
    found = of_log(row(2, chips_count=0), billet(3, chips_count=1), row(4, "touch-up"),
                   row(5, chips_count=0), billet(6, chips_count=0))  # fmt: skip
    assert [(one.when, one.fresh) for one in found] == [
        ("before", True), ("between", False), ("between", True), ("after", False),
    ]  # fmt: skip
