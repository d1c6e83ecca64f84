"""Parts of a plan: blocks by name, the bar of its simulation, which stages are chosen."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear import planning as module
from edgetest.study.wear.begun_order import ON_RECORD
from edgetest.study.wear.measured_life import MeasuredLife
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.plan_result import Plan
from edgetest.study.wear.planning import Steps, drawn_order, usual_blocks
from edgetest.wear.plan.run_order import Run


def study(*treatments, control=None):
    blades = [SimpleNamespace(id=f"B{n}", heat_treatment=name) for n, name in enumerate(treatments)]
    rules = SimpleNamespace(chop_kinds=(), log="log")
    return SimpleNamespace(blades=blades, control=control, reference=None, rules=rules)


@pytest.mark.parametrize(
    ("of", "kind", "blocks"),
    [
        (study("a", "a", "b", "b"), "sisal rope", ("roll 1", "roll 2")),
        (study("a", "a", "a", "b", "b"), "sisal rope", ("roll 1", "roll 2")),
        (study("a", "a", "b", "b", "c", control="B4"), "card", ("day 1", "day 2")),
        (study("a", control="B0"), "card", ("day 1",)),
        (study(None, None), "card", ("day 1", "day 2")),
    ],
)
def test_there_are_as_many_blocks_as_the_fewest_blades_of_a_heat_treatment(of, kind, blocks):
    medium = SimpleNamespace(kind=kind)
    source = SimpleNamespace(study=of, protocol=SimpleNamespace(medium=medium, chop_kinds=()))
    assert usual_blocks(source) == blocks


def test_a_bar_is_not_full_before_the_end():
    told = []
    steps = Steps(lambda done, total: told.append((done, total)), 3)
    for _ in range(4):
        steps()
    steps.end()
    assert told == [(1, 3), (2, 3), (2, 3), (2, 3), (3, 3)]
    silent = Steps(None, 3)
    silent()
    silent.end()
    assert silent.done == 1
    unused = []
    Steps(lambda *at: unused.append(at), 3).end()
    assert unused == []


def test_a_drawn_order_holds_each_blade_and_the_control_once_a_block():
    of = study("a", "a", "b", "b", "x", control="B4")
    order = drawn_order(of, PlanOptions(blocks=("r1", "r2"), seed=3))
    assert order.seed == 3
    assert sorted(run.blade for run in order.runs) == ["B0", "B1", "B2", "B3", "B4", "B4"]
    assert [run.block for run in order.runs] == ["r1"] * 3 + ["r2"] * 3
    assert drawn_order(of, PlanOptions(blocks=("r1", "r2"), seed=3)) == order
    bare = drawn_order(study(None, None), PlanOptions())
    assert {run.treatment for run in bare.runs} == {"not named"}


@pytest.mark.parametrize(
    ("stages", "wear", "chosen"),
    [
        ((0, 10, 50), "wear", True),
        ((0, 10), "wear", False),
        ((1, 2, 3), "wear", False),  # every cut is read: there is nothing to choose
        ((0, 1, 2, 3), "wear", False),
        ((0, 1, 2, 4), "wear", True),
        ((0, 10, 50), None, False),
    ],
)
def test_stages_are_chosen_where_a_curve_is_read_and_not_every_cut(
    monkeypatch, stages, wear, chosen
):
    monkeypatch.setattr(module, "schedule_once", lambda *args, **words: (args, words))
    believed = SimpleNamespace(expected=SimpleNamespace(wear=wear))
    found = module._schedule(SimpleNamespace(stages=stages), believed)
    assert (found is not None) is chosen
    if chosen:
        assert found == ((len(stages), stages[-1], wear), {"own": stages, "first": stages[0]})


def plan(**more):
    chosen = SimpleNamespace(blades=more.pop("wanted", 5))
    curve = SimpleNamespace(blades=(2, 4, 6, 10))
    need = SimpleNamespace(summary=lambda: "Five blades.", curve=curve, chosen=chosen)
    facts = {"title": "x", "need": need, "runs": (), "seed": 1, "history": None,
             "readings_before": 0.0, "doubts": ()}  # fmt: skip
    return Plan(**facts | more)


def believed(cv=0.031, whence="given", *, nobody=False, lasted=None):
    return SimpleNamespace(reading_cv=cv, reading_cv_from=whence, life=266.7, life_assumed=nobody,
                           lasted=lasted)  # fmt: skip


TWO = SimpleNamespace(summary=lambda: "Two studies.", batches=None)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, []),
        ({"work": "Chop."}, ["Chop."]),
        ({"believed": believed()}, ["One reading is taken to be good to 3.1 %, as given."]),
        ({"believed": believed(whence="12 readings")},
         ["One reading is good to 3.1 %, by 12 readings."]),
        ({"believed": believed(whence="assumed")}, []),
        ({"believed": believed(None)}, []),
        ({"believed": believed(None, nobody=True)}, []),
        ({"believed": believed(None, nobody=True), "schedule": SimpleNamespace()},
         ["A blade is thought to last 267 cuts, two thirds of the last stage: nobody said how long "
          "(--life)."]),
        ({"believed": believed(None, lasted=MeasuredLife(266.7, 9)), "schedule": SimpleNamespace()},
         ["A blade is thought to last 267 cuts, as the 9 blades of this log did whose lives are "
          "known (geometric mean)."]),
        ({"history": TWO}, ["Two studies."]),
        ({"history": TWO, "readings_before": 0.043},
         ["Two studies.", "The readings alone made the earlier lives scatter by about 4.3 %. That "
                          "is taken out here, and what this plan's own readings add is put in."]),
    ],
)  # fmt: skip
def test_a_plan_says_what_it_rests_on(more, said):
    assert list(plan(**more).basis()) == said


@pytest.mark.parametrize(
    ("wanted", "told"), [(5, [2, 4, 10]), (6, [2, 6, 10]), (None, [2, 10]), (2, [2, 10])]
)
def test_the_worth_of_the_least_the_needed_and_the_most_blades_is_told(wanted, told):
    asked = []
    shop = SimpleNamespace(sentences=lambda blades: asked.append(blades) or [])
    list(plan(shop=shop, wanted=wanted).basis())
    assert asked == [told]


def test_a_plan_names_its_runs_block_by_block():
    runs = (Run("r1", 1, "A", "a"), Run("r2", 1, "B", "b"), Run("r1", 2, "C", "a"))
    lines = plan(runs=runs, files=("x.csv",)).summary().splitlines()
    assert lines == ["Five blades.", "r1: A, C", "r2: B", "  x.csv"]
    named = plan(runs=runs, names={"A": "A, long hook", "C": "C, control blade"}).summary()
    assert named.splitlines()[1:] == ["r1: A, long hook; C, control blade", "r2: B"]
    named = plan(runs=runs, names={"A": "long hook A (hard)", "C": "C (hard)"}).summary()
    assert named.splitlines()[1:] == ["r1: long hook A (hard), C (hard)", "r2: B"]
    assert plan().stages() == ""
    assert not plan().sd_assumed
    assert plan(doubts=(SimpleNamespace(code="scatter_assumed", text="y"),)).sd_assumed


@pytest.mark.parametrize("own", ["", "own.toml"])
def test_a_plan_of_grades_names_its_stages_its_medium_and_how_the_order_is_kept(own):
    seen = SimpleNamespace(checks=(0.0, 50.0, 100.0))
    believed = SimpleNamespace(
        expected=SimpleNamespace(seen=seen), life_assumed=False, lasted=None, reading_cv=None
    )
    runs = (Run("r1", 1, "A", "a"), Run("r1", 2, "B", "b"))
    made = plan(believed=believed, runs=runs, own_protocol=own)
    told = made.stages()
    whose = "your" if own else "the"
    begins = f"Cut to 100: stop and check at 0, 50, 100 cuts. They are those of {whose} protocol."
    assert told.startswith(begins)
    assert "the 2 runs make 200 cuts" in told
    assert "have 2 m ready" in told
    assert "They stop 6 times" in told
    assert ("copy the protocol with" in told) is not bool(own)
    assert told.endswith(ON_RECORD)
    assert told in made.summary().splitlines()


@pytest.mark.parametrize(
    ("own", "said"),
    [((0, 50, 90), "They are those of your protocol."), ((0, 50, 100), "copy the protocol with")],
)
def test_a_protocol_that_has_the_best_stages_is_not_to_be_copied(own, said):
    schedule = SimpleNamespace(summary=lambda: "Stop.", own_cuts=own, cuts=(0, 50, 90))
    assert said in plan(schedule=schedule).stages()
    assert plan(schedule=schedule).stages().endswith(ON_RECORD)
    assert ("copy" in plan(schedule=schedule).stages()) == (own != (0, 50, 90))


def test_a_plan_says_how_much_medium_its_cuts_take():
    schedule = SimpleNamespace(summary=lambda: "Stop.", own_cuts=(0, 400), cuts=(0, 50, 90))
    runs = tuple(Run(f"r{k % 2}", k, f"A{k}", "a") for k in range(3))
    told = plan(schedule=schedule, runs=runs).stages()
    assert "To 400 cuts the 3 runs make 1,200 cuts (800 on one of the blocks): for each cm" in told
    assert "that a cut uses up, have 12 m (8 m) ready." in told
    assert "have 4 m ready." in plan(schedule=schedule, runs=runs[:1]).stages()


def test_what_is_left_of_a_test_under_way_takes_the_medium_of_its_own_runs_alone():
    schedule = SimpleNamespace(summary=lambda: "Stop.", own_cuts=(0, 400), cuts=(0, 50, 90))
    runs = tuple(Run("r1", k, f"A{k}", "a") for k in range(3))
    begun = {("r1", "A0"): 400.0, ("r1", "A2"): 500.0}
    told = plan(schedule=schedule, runs=runs, begun=begun).stages()
    assert "To 400 cuts the 1 run not begun yet makes 400 cuts: for each cm" in told
    told = plan(schedule=schedule, runs=runs, begun=begun | {("r1", "A2"): 150.0}).stages()
    assert "makes 400 cuts, and 1 run begun up to 250 more: for each cm" in told
    assert "have 6.5 m ready." in told
    assert "It stops 2 times to be read" in told
    whole = {("r1", f"A{k}"): 0.0 for k in range(3)}
    done = plan(schedule=schedule, runs=runs, begun=whole).stages()
    assert "cuts: for each cm" not in done
    assert "to be read: for each minute" not in done


@pytest.mark.parametrize(
    ("runs", "said"),
    [
        (6, "They stop 54 times to be read: for each minute from one stop to the next, cutting "
            "and reading, have 54 minutes ready."),
        (24, "They stop 216 times to be read: for each minute from one stop to the next, cutting "
             "and reading, have 3.6 hours ready."),
    ],
)  # fmt: skip
def test_a_plan_says_how_long_its_stops_take_by_the_minute_that_nobody_noted(runs, said):
    nine = (0, 10, 25, 50, 100, 150, 200, 300, 400)
    schedule = SimpleNamespace(summary=lambda: "Stop.", own_cuts=nine, cuts=(0, 50, 90))
    order = tuple(Run("r1", k, f"A{k}", "a") for k in range(runs))
    told = plan(schedule=schedule, runs=order).stages()
    assert f"{said} Time a few stops to know it." in told
    assert "to be read" not in plan(schedule=schedule).stages()
