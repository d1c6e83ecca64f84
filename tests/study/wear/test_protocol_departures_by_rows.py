"""Departures of a cut test worked from rows by hand: stages, readings, control, batches, order."""

import json
from types import SimpleNamespace

import pytest

from edgetest.store.history import HISTORY_FILE, Change
from edgetest.study.wear.protocol_departures import (
    LOOKED_AT,
    ORDER,
    PastLimit,
    departures_of,
    looked_at,
)


def rule(name, repeats=1, *, at_stations=False, kind="number"):
    return SimpleNamespace(name=name, title=name.split("_")[0], repeats=repeats, kind=kind,
                           at_stations=at_stations, unit="")  # fmt: skip


def protocol(*rules, stages=(0, 10, 50)):
    return SimpleNamespace(
        log="log", stages=stages, stations_mm=(), readings=rules or (rule("grade"),), limit=None,
        medium=SimpleNamespace(batch="one roll for all. Note it"),
        edge_preparation=SimpleNamespace(included_angle_deg=None, finish=""),
    )  # fmt: skip


def study(*blades, control="C", plan=None, folder=None):
    """(id, heat treatment) of each blade."""
    made = [SimpleNamespace(id=name, heat_treatment=kind, edge_finish="1000")
            for name, kind in blades]  # fmt: skip
    kinds = [SimpleNamespace(id=kind, title=f"{kind} temper")
             for kind in dict.fromkeys(kind for _, kind in blades if kind)]  # fmt: skip
    return SimpleNamespace(
        blades=made, control=control, reference=None, plan=plan, folder=folder,
        heat_treatments=kinds, reading_name="grade", limit_value=None,
    )  # fmt: skip


def row(blade, cuts, *names, block="r1", batch="b", exclude="", photo="", station=None):
    readings = dict.fromkeys(names or ("grade",))
    return SimpleNamespace(blade=blade, block=block, cuts=cuts, batch=batch, exclude=exclude,
                           photo=photo, readings=readings, station_mm=station,
                           waiting=not (readings or photo))  # fmt: skip


def run(blade, *cuts, **more):
    return [row(blade, at, **more) for at in cuts or (0, 10, 50)]


def departed(rows, of=None, by=None):
    found = departures_of(of or study(), by or protocol(), SimpleNamespace(rows=rows))
    return [(each.of, each.done) for each in found]


WHOLE = [*run("A"), *run("C")]


def test_all_as_asked_departs_in_nothing():
    assert departed(WHOLE) == []
    log = SimpleNamespace(rows=WHOLE)
    assert departures_of(None, protocol(), log) == departures_of(study(), None, log) == ()


@pytest.mark.parametrize(
    ("rows", "done"),
    [
        ([*run("A", 0, 50), *run("C")], ["not read at 10 cuts: A"]),
        ([*run("A", 0, 10), *run("C")], ["stopped at 10 cuts: A"]),
        ([*run("A", 0, 10, 30, 50), *run("C")], ["read at 30 cuts too: A"]),
        ([*run("A", 0, 10, 50, 80), *run("C")], ["read at 80 cuts too: A"]),
        ([*run("A", 10, 50), *run("C")], ["not read at 0 cuts: A"]),
    ],
)
def test_stages_left_out_added_and_stopped_at(rows, done):
    assert [each for of, each in departed(rows) if of == "stages"] == done


def test_rows_that_were_set_aside_are_not_counted():
    assert departed([*WHOLE, row("A", 30, exclude="slip")]) == []
    read_and_left_out = [*run("A", 0, 50), row("A", 10, exclude="slip"), *run("C")]
    assert departed(read_and_left_out) == [("stages", "read at 10 cuts, and left out: A")]


def test_a_run_whose_last_stages_were_left_out_was_not_stopped():
    """It was cut on and read; a reader who sees that nothing was seen there reads a falsehood."""
    rows = [*run("A", 0, 10), row("A", 50, exclude="nail"), *run("C")]
    assert departed(rows) == [("stages", "all beyond 10 cuts left out: A")]
    (each,) = departures_of(study(), protocol(), SimpleNamespace(rows=rows))
    assert each.means == "Beyond that stage nothing counts."


def test_a_reading_that_was_left_out_beside_another_that_counts_was_read():
    by = protocol(rule("grade"), rule("force"))
    pairs = [row(b, c, name) for name in ("grade", "force") for b in "AC" for c in (0, 10, 50)]
    rows = [one for one in pairs if not ("force" in one.readings and one.cuts == 10)]
    slips = [row(b, 10, "force", exclude="slip") for b in "AC"]
    assert departed([*rows, *slips], by=by) == []


def test_a_reading_never_taken_is_named():
    assert ("readings", "never read") in departed(WHOLE, by=protocol(rule("grade"), rule("force")))


@pytest.mark.parametrize(
    ("times", "done"),
    [(2, None), (3, None), (1, "fewer at 6 of 6 places, 1 time at the least")],
)
def test_a_reading_taken_fewer_times_than_asked(times, done):
    told = departed(WHOLE * times, by=protocol(rule("grade", 2)))
    assert told == ([("readings", done)] if done else [])


def test_repeats_are_counted_at_each_station_where_the_reading_is_taken_there():
    rows = [row(b, c, station=s) for b in "AC" for c in (0, 10, 50) for s in (20, 40)]
    assert departed(rows, by=protocol(rule("grade", 2))) == []
    at = departed(rows, by=protocol(rule("grade", 2, at_stations=True)))
    assert at == [("readings", "fewer at 12 of 12 places, 1 time at the least")]


def test_a_photograph_gives_its_reading():
    by = protocol(rule("edge_width_um"))
    shown = [SimpleNamespace(**vars(one) | {"readings": {}, "photo": "a.png", "waiting": False})
             for one in WHOLE]  # fmt: skip
    assert departed(shown, by=by) == []
    assert ("readings", "never read") in departed(shown, by=protocol(rule("grade")))


def test_a_stage_at_which_only_another_reading_was_taken():
    rows = [*WHOLE, *(row(b, c, "force") for b in "AC" for c in (0, 50))]
    by = protocol(rule("grade"), rule("force"))
    assert departed(rows, by=by) == [("readings", "not read at 10 cuts: all runs")]


@pytest.mark.parametrize(
    ("rows", "control", "done"),
    [
        (run("A"), "C", "C was named and never run"),
        (run("A"), None, "none was named"),
        ([*WHOLE, *run("A", block="r2")], "C", "C was not run in r2"),
        ([*WHOLE, *run("A", block="")], "C", None),
        ([*run("A"), *run("C", block="")], "C", "C was not run in r1"),
    ],
)
def test_a_control_runs_in_every_block(rows, control, done):
    told = [each for of, each in departed(rows, study(control=control)) if of == "control blade"]
    assert told == ([done] if done else [])


def test_a_control_whose_run_waits_is_not_missing():
    due = [SimpleNamespace(**vars(one) | {"waiting": True}) for one in run("C", block="r2")]
    for rows in ([*WHOLE, *run("A", block="r2"), *due], [*run("A", block="r2"), *due]):
        told = [of for of, _ in departed(rows, study(control="C"))]
        assert "control blade" not in told


def batches(rows, of=None):
    return [each for name, each in departed(rows, of) if name == "roll of the medium"]


def test_a_batch_that_nobody_noted_or_that_changed_within_a_run():
    bare = [*run("A", block="", batch=""), *run("C", block="", batch="")]
    assert batches(bare) == ["no roll, bundle or board was noted"]
    assert batches([*run("A", batch=""), *run("C", batch="")]) == []  # their block is noted
    assert batches([*run("A", batch=""), *run("C")]) == []
    bare = run("A", block="", batch="")
    assert batches([*bare, *run("C")]) == ["not noted in 3 of 6 rows"]
    mixed = [row("A", 0), row("A", 10, batch="c"), row("A", 50), *run("C")]
    assert batches(mixed) == ["changed within the run: b to 0 cuts, c to 10, b to 50: A"]
    later = [[row(b, 0), row(b, 10, batch=roll), row(b, 50, batch="c")]
             for b, roll in (("A", "c"), ("B", "c"), ("D", "b"))]  # fmt: skip
    assert batches([*later[0], *later[1], *later[2], *run("C")]) == [
        "changed within the run: b to 0 cuts, c to 50: A and B; b to 10 cuts, c to 50: D"
    ]
    begun = [row("A", 0, batch=""), row("A", 10, batch=""), row("A", 50, batch="c")]
    assert batches([*begun, *run("C", batch="")]) == [
        "changed within the run: r1 to 10 cuts, c to 50: A"
    ]
    half = [row("A", 0), row("A", 10, batch="", block=""), row("A", 50), *run("C")]
    assert batches(half) == ["not noted in 1 of 6 rows"]


def test_a_batch_that_one_heat_treatment_never_met():
    two = study(("A", "hard"), ("B", "soft"), ("C", None))
    apart = [*run("A", batch="b1"), *run("B", batch="b2"), *run("C", batch="b1")]
    assert batches(apart, two) == ["b1: hard temper alone; b2: soft temper alone"]
    shared = [*run("A", batch="b1"), *run("B", batch="b1"), *run("C", batch="b1")]
    assert batches(shared, two) == []
    in_block = [*run("A", batch="b1"), *run("B", batch=""), *run("C", batch="")]
    assert batches(in_block, two) == []  # all of one block, whose roll one of them names
    one = study(("A", "hard"), ("C", None))
    assert batches([*run("A", batch="b1"), *run("C", batch="b2")], one) == []


def history(folder, *runs, what="append", table="log"):
    read = {"edge_width_um": "5"}
    changes = [Change(what, table, 2, None, {"block": block, "blade": blade, **read}, "")
               for block, blade in runs]  # fmt: skip
    text = "\n".join(json.dumps(vars(one)) for one in changes)
    (folder / HISTORY_FILE).write_text(text + "\n", "utf-8")


AS_DRAWN = "the log's rows stand in that order; when each run was begun was not noted"
R1, R2 = ["r1", "A"], ["r1", "C"]


@pytest.mark.parametrize(
    ("runs", "done"),
    [
        ([R1, R2], []),
        ([R1, R1, R2, R1], []),
        ([R2, R1], ["begun in this order: C (r1); A (r1)"]),
        ([R1], [AS_DRAWN]),
    ],
)
def test_runs_are_held_against_the_order_that_was_drawn(tmp_path, runs, done):
    history(tmp_path, *runs)
    of = study(plan={"order": [R1, ["r9", "Z"], R2]}, folder=tmp_path)
    assert [each for name, each in departed(WHOLE, of) if name == ORDER] == done
    assert looked_at(of) == (*LOOKED_AT, ORDER)


@pytest.mark.parametrize("more", [{"what": "correct"}, {"table": "chops"}])
def test_only_rows_that_were_added_to_the_log_tell_the_order(tmp_path, more):
    history(tmp_path, R1, R2, **more)
    of = study(plan={"order": [R1, R2]}, folder=tmp_path)
    assert (ORDER, AS_DRAWN) in departed(WHOLE, of)
    turned = study(plan={"order": [R2, R1]}, folder=tmp_path)
    unknown = "the record does not say in which order they were begun"
    assert (ORDER, unknown) in departed(WHOLE, turned)
    assert looked_at(study()) == LOOKED_AT


def test_a_second_run_of_a_blade_leaves_the_order_of_the_others_told(tmp_path):
    """An edge sharpened again is a new block that was not drawn; the rows stand as before."""
    history(tmp_path, R1, R2, what="correct")
    again = [*WHOLE, *run("A", block="r1 again")]
    of = study(plan={"order": [R1, R2]}, folder=tmp_path)
    assert (ORDER, AS_DRAWN) in departed(again, of)
    moved = study(plan={"order": [R1, R2, ["r1", "D"]]}, folder=tmp_path)
    assert (ORDER, AS_DRAWN) not in departed(again, moved)  # "r1 again" may be D's run


def test_lives_alone_have_no_stages():
    rows = [row("A", 0, "life"), row("C", 0, "life")]
    assert departed(rows) == [("stages", "only how long each blade lasted was noted")]
    both = [*rows, row("A", 0, "life", "grade")]
    assert ("stages", "only how long each blade lasted was noted") not in departed(both)


@pytest.mark.parametrize(
    ("dulling", "typed", "measured", "past"),
    [
        ("rises", (12.5, 13.0), (), True),
        ("rises", (12.5, 11.0), (), False),
        ("rises", (13.0, 11.5), (), True),  # on average, as a life is read
        ("rises", (12.0,), (), False),
        ("rises", (None,), (), False),
        ("rises", (None,), (12.5, 14.0), True),  # from photographs
        ("rises", (12.5,), (11.0,), False),  # what the fit met counts
        ("falls", (11.0, 11.5), (), True),
        ("falls", (11.0, 12.5), (), True),
        ("falls", (11.0, 13.5), (), False),
    ],
)
def test_a_run_past_its_limit_was_stopped_as_it_should_be(dulling, typed, measured, past):
    by = SimpleNamespace(readings=[SimpleNamespace(name="w", kind="number", dulling=dulling)])
    early = 99.0 if dulling == "rises" else 1.0
    rows = [SimpleNamespace(cuts=10, readings={"w": SimpleNamespace(value=early)})]
    rows += [SimpleNamespace(cuts=50, readings={"w": SimpleNamespace(value=value)} if value else {})
             for value in typed]  # fmt: skip
    met = [SimpleNamespace(block="r1", blade="A", cuts=50, value=value, excluded=False)
           for value in measured]  # fmt: skip
    met += [SimpleNamespace(block="r1", blade="A", cuts=50, value=1.0, excluded=True)]
    of = SimpleNamespace(reading_name="w", limit_value=12.0)
    assert PastLimit(of, by, met).of(("r1", "A"), rows, 50) is past
    of = SimpleNamespace(reading_name="w", limit_value=None)
    assert not PastLimit(of, by, met).of(("r1", "A"), rows, 50)


LADDER = ("shaves", "slices", "tears", "dull")


@pytest.mark.parametrize(
    ("kind", "limit", "last", "past"),
    [
        ("grade", "slices", ["tears"], True),
        ("grade", "slices", ["dull", "tears"], True),
        ("grade", "slices", ["slices", "tears"], False),  # its life has no end there
        ("grade", "slices", ["slices"], False),
        ("grade", "slices", [""], False),
        ("grade", None, ["dull"], False),
        ("pass_fail", None, ["fail"], True),
        ("pass_fail", None, ["fail", "pass"], False),
    ],
)
def test_a_blade_whose_grade_is_lost_was_stopped_as_it_should_be(kind, limit, last, past):
    by = protocol(rule("check", kind=kind))
    by.ladder = LADDER
    of = study(("A", "hard"), ("C", "hard"))
    of.reading_name, of.limit_value = "check", limit
    rows = [row("A", at, "check") for at in (0, *[20] * len(last))] + run("C")
    for each, grade in zip(rows, ["shaves", *last], strict=False):
        each.readings = {"check": SimpleNamespace(value=None, text=grade)}
    found = departures_of(of, by, SimpleNamespace(rows=rows))
    stages = {each.done: each.means for each in found if each.of == "stages"}
    assert ("stopped at 20 cuts: A" in stages) is not past
    assert stages["not read at 10 cuts: A"] == (
        "A life that ended beside them is known less closely, and its ends say so."
    )


def test_a_protocol_of_chops_is_held_against_no_log_of_cuts():
    wish = protocol(rule("chops"), rule("chips_count"))
    rows = [SimpleNamespace(waiting=False, exclude="", blade="A", block="", batch="", cuts=2,
                            station_mm=None, photo="", readings={"edge_width_um": 1})]  # fmt: skip
    log, of = SimpleNamespace(rows=rows), study(("A", "hard"))
    assert "never read" in [each.done for each in departures_of(of, wish, log)]
    wish.log = "chops"
    assert departures_of(of, wish, log) == ()
    assert looked_at(of, wish) == ()


def test_facts_under_the_seal_are_no_departures():
    by = protocol()
    by.edge_preparation.included_angle_deg = 30
    of = study(("A", None), control=None, plan={"sealed": "names"})
    of.blades[0].edge_finish, of.blades[0].included_angle_deg = "", None
    assert departed(run("A"), of, by) == []
    assert not {"control blade", "edge angle and finish"} & set(looked_at(of, by))
    of.plan = None
    told = {name for name, _ in departed(run("A"), of, by)}
    assert told == {"control blade", "edge angle", "edge finish"}
