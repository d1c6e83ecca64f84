"""Places along the edge against the protocol's: left out, added, not noted, each by its runs."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.places_departed import names_of, places_departed

WIDTH = SimpleNamespace(
    name="edge_width_um", at_stations=True, title="edge width", all_stations_at="every stage"
)
ENDS = SimpleNamespace(**(vars(WIDTH) | {"all_stations_at": "first and last stage"}))
FORCE = SimpleNamespace(name="sever_force_gf", at_stations=False)


def row(at, cuts=0, *, readings=("edge_width_um",), photo="", exclude="", blade="A", block="r1"):
    return SimpleNamespace(
        station_mm=at, cuts=cuts, readings=readings, photo=photo, exclude=exclude, blade=blade,
        block=block,
    )  # fmt: skip


def departed(rows, *, asked=(20, 40, 60), rules=(WIDTH, FORCE)):
    protocol = SimpleNamespace(stations_mm=asked, readings=rules)
    runs = {}
    for one in rows:
        if not one.exclude:
            runs.setdefault((one.block, one.blade), []).append(one)
    log = SimpleNamespace(rows=rows)
    return [
        (each.asked, each.done, each.means[:4]) for each in places_departed(protocol, runs, log)
    ]


ASKED = "20 mm, 40 mm, 60 mm along the edge"


@pytest.mark.parametrize(
    ("rows", "done"),
    [
        ([row(20), row(40), row(60)], []),
        ([row(20), row(40)], ["nothing at 60 mm: A"]),
        ([row(40)], ["nothing at 20 mm, 60 mm: A"]),
        ([row(20), row(40), row(60), row(50)], ["read at 50 mm too: A"]),
        ([row(None), row(None)], ["no place noted: A"]),
        ([row(None), row(20)], ["nothing at 40 mm, 60 mm: A"]),
        # A photograph shows its place; a force is read at none.
        ([row(20, photo="a.png", readings=()), row(40), row(60)], []),
        ([row(20), row(40), row(60, readings=("sever_force_gf",))], ["no edge width at 60 mm: A"]),
        (
            [row(20), row(40, readings=("sever_force_gf",))],
            ["no edge width at 40 mm: A", "nothing at 60 mm: A"],
        ),
        # Where nothing was read that is taken at places, the places of what was read count.
        ([row(40, readings=("sever_force_gf",))], ["nothing at 20 mm, 60 mm: A"]),
        ([row(40, readings=())], []),
        ([row(None, readings=("sever_force_gf",))], []),
        (
            [row(20, exclude="slip"), row(40, readings=("sever_force_gf",))],
            ["nothing at 60 mm: A"],
        ),
        # What was read and set aside is no place left out.
        ([row(20), row(40), row(60, exclude="slip")], []),
        ([row(20), row(40), row(50, exclude="slip"), row(60)], []),
    ],
)
def test_what_a_run_left_out_or_added_is_told(rows, done):
    assert [each[1] for each in departed(rows)] == done
    assert all(each[0] == ASKED for each in departed(rows))


def test_a_place_left_out_at_one_stage_names_the_cuts():
    rows = [row(at, cuts) for cuts in (0, 50) for at in (20, 40, 60)]
    assert [each[1] for each in departed(rows[:-1])] == [
        "nothing at 60 mm at the stage of 50 cuts: A"
    ]
    aside = [*rows[:-1], row(60, 50, exclude="slip")]
    assert departed(aside) == []
    # A stage of which no place of the others was read was read at no station at all.
    assert departed([*rows[:3], row(None, 50)]) == []


def test_what_departs_says_what_follows():
    assert departed([row(20), row(40)])[0][2] == "How "
    assert departed([row(20), row(40), row(60), row(50)])[0][2] == "More"


def test_runs_that_did_alike_stand_together():
    rows = [row(at, blade=blade) for blade in "AB" for at in (20, 40)]
    assert [each[1] for each in departed(rows)] == ["nothing at 60 mm: all runs"]


@pytest.mark.parametrize("more", [{"asked": ()}, {"rules": (FORCE,)}])
def test_without_stations_or_readings_at_them_nothing_is_told(more):
    assert departed([row(50)], **more) == []


@pytest.mark.parametrize(
    ("those", "runs", "said"),
    [
        ([("r1", "A")], [("r1", "A")], "A"),
        ([("r1", "A"), ("r1", "B")], [("r1", "A"), ("r1", "B")], "all runs"),
        ([("r1", "B"), ("r1", "A")], [("r1", "A"), ("r1", "B"), ("r1", "C")], "A and B"),
        ([("r2", "A")], [("r1", "A"), ("r2", "A")], "A (r2)"),
        ([("", "A")], [("r1", "A"), ("", "A")], "A (block not noted)"),
    ],
)
def test_runs_are_named_with_their_roll_where_there_are_several(those, runs, said):
    assert names_of(those, runs) == said
