"""A plan made anew of a test under way: what was begun stands, what is left is drawn, with rows."""

import csv
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import change_study, new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.order_anew import begun_as_drawn, begun_runs_of, left_of
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import RunOrder, _order_of
from edgetest.study.wear.saved_plan import runs_due, save_plan

HEADING = "blade,cuts,station_mm,edge_width_um,note"
DAYS = ("day 1", "day 2")
BEGUN = [("day 1", "A1"), ("day 1", "B1")]


@pytest.fixture
def under_way(tmp_path):
    """Two pairs, of which the first was cut on day 1; the second waits for day 2."""
    blades = [{"id": name, "heat_treatment": name[0].lower()} for name in ("A1", "A2", "B1", "B2")]
    study = new_study(tmp_path / "mine", "sisal_rope", "mine", blades=blades,
                      heat_treatments=[{"id": "a"}, {"id": "b"}])  # fmt: skip
    order = [["day 1", "A1"], ["day 1", "B1"], ["day 2", "A2"], ["day 2", "B2"]]
    told = {"unsealed": "2026-11-29", "codes": ["A1"], "order": order}
    change_study(study.folder, lambda now: now.model_copy(update={"plan": told}))
    rows = [f"{blade},0,20,2.5,,{day}" for day, blade in BEGUN]
    rows += [f"{blade},0,20,,,day 2" for blade in ("A2", "B2")]
    (study.folder / "log.csv").write_text("\n".join([f"{HEADING},block", *rows, ""]))
    return study.folder


def rows_of(folder):
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def anew(folder, **wishes):
    source = open_source(folder)
    made = _order_of(source, PlanOptions(anew=True, **wishes))
    return source, made, [(run.block, run.blade) for run in made.runs]


def test_only_what_is_not_begun_is_drawn_and_gets_rows(under_way):
    source, made, runs = anew(under_way, blocks=("day 7",))
    assert (begun_runs_of(source), left_of(source)) == (BEGUN, ["A2", "B2"])
    assert runs[:2] == BEGUN
    assert sorted(runs[2:]) == [("day 7", "A2"), ("day 7", "B2")]
    assert [run.turn for run in made.runs] == [1, 2, 1, 2]
    assert sorted(run.blade for run in runs_due(source, made).runs) == ["A2", "B2"]
    save_plan(source, made, anew=True)
    assert [(row["blade"], row["block"]) for row in rows_of(under_way)] == [
        ("A1", "day 1"), ("B1", "day 1"), ("A2", "day 7"), ("B2", "day 7"),
    ]  # fmt: skip


def test_what_sealed_names_were_stays_in_the_plan(under_way):
    source, made, runs = anew(under_way)
    save_plan(source, made, anew=True)
    plan = open_source(under_way).study.plan
    assert (plan["unsealed"], plan["codes"]) == ("2026-11-29", ["A1"])
    assert plan["order"] == [list(run) for run in runs]
    save_plan(open_source(under_way), made)  # the same order, not anew
    assert open_source(under_way).study.plan["codes"] == ["A1"]


def test_blocks_that_nobody_names_are_those_that_were_to_come(under_way):
    assert {block for block, _ in anew(under_way)[2][2:]} == {"day 2"}


def test_a_new_pair_gets_all_its_rows_and_the_readings_stay(under_way):
    text = (under_way / "study.toml").read_text("utf-8")
    for name in ("A3", "B3"):
        text = text.replace(
            "[plan]", f'[[blades]]\nid = "{name}"\nheat_treatment = "{name[0].lower()}"\n\n[plan]'
        )
    (under_way / "study.toml").write_text(text, "utf-8")
    before = rows_of(under_way)
    source, made, _ = anew(under_way, blocks=("day 2", "day 3"))
    save_plan(source, made, anew=True)
    after = rows_of(under_way)
    assert after[:2] == before[:2]
    new = [row for row in after if row["blade"] in ("A3", "B3")]
    stages = len(source.protocol.stages) * len(source.protocol.stations_mm)
    assert len(new) == 2 * stages
    assert {row["edge_width_um"] for row in new} == {""}


def test_where_all_were_begun_only_new_blocks_give_a_second_run(under_way):
    log = under_way / "log.csv"
    log.write_text(log.read_text().replace(",0,20,,,", ",0,20,2.6,,"))
    source = open_source(under_way)
    assert left_of(source) == []
    with pytest.raises(UnusableInput, match="nothing is left to draw"):
        anew(under_way, blocks=DAYS)
    runs = anew(under_way, blocks=("day 3",))[2]
    assert sorted(runs[4:]) == [("day 3", name) for name in ("A1", "A2", "B1", "B2")]


def test_an_order_without_a_run_that_was_begun_is_refused(under_way):
    source, made, _ = anew(under_way)
    with pytest.raises(UnusableInput, match="do not stand in this order"):
        save_plan(source, RunOrder(made.runs[1:], 1), anew=True)


def test_a_log_that_is_not_begun_has_nothing_left_over(under_way):
    log = under_way / "log.csv"
    log.write_text(log.read_text().replace(",2.5,", ",,"))
    assert (begun_runs_of(open_source(under_way)), left_of(open_source(under_way))) == ([], [])


def test_a_run_cut_on_another_roll_than_drawn_is_begun_all_the_same(under_way):
    runs = [SimpleNamespace(block="day 1", blade=name) for name in ("A1", "B1", "B1")]
    log = under_way / "log.csv"
    text = log.read_text().replace(",2.5,,day 1", ",2.5,,day 7")
    log.write_text(text.replace("A2,0,20", "A1,50,20,5,,day 7\nA2,0,20"))
    begun = begun_as_drawn(open_source(under_way), runs)
    assert begun == {("day 7", "A1"): 50, ("day 1", "A1"): 50, ("day 7", "B1"): 0}  # B1: one left
    log.write_text(log.read_text().replace("B1,0,20,2.5,,day 7", "B1,0,20,2.5,,day 1"))
    source = open_source(under_way)
    due = [run.blade for run in runs_due(source, _order_of(source, PlanOptions())).runs]
    assert due == ["A2", "B2"]


@pytest.fixture
def without_plan(under_way):
    """The same log, with both pairs on a day each, and no plan: the maker typed the days."""
    change_study(under_way, lambda now: now.model_copy(update={"plan": None}))
    log = under_way / "log.csv"
    log.write_text(log.read_text().replace("0,20,,,day 2", "0,20,2.5,,day 2"))
    return under_way


def test_a_log_begun_without_a_plan_keeps_its_runs(without_plan):
    source = open_source(without_plan)
    made = _order_of(source, PlanOptions(blocks=None))
    assert [(run.block, run.blade) for run in made.runs] == [
        *BEGUN, ("day 2", "A2"), ("day 2", "B2"),
    ]  # fmt: skip
    assert ([run.turn for run in made.runs], made.seed) == ([1, 2, 1, 2], None)
    save_plan(source, made)
    assert not (open_source(without_plan).study.plan or {}).get("order")  # nobody drew it
    asked = _order_of(source, PlanOptions(blocks=("day 1", "day 3")))  # what others would give
    assert {run.block for run in asked.runs} == {"day 1", "day 3"}
    with pytest.raises(UnusableInput, match="do not stand in this order"):
        save_plan(source, asked)


def test_what_such_a_log_leaves_is_drawn_on_the_blocks_of_its_rows(without_plan):
    log = without_plan / "log.csv"
    log.write_text(log.read_text().replace("0,20,2.5,,day 2", "0,20,,,day 2"))
    source = open_source(without_plan)
    made = _order_of(source, PlanOptions(blocks=None))
    assert [(run.block, run.blade) for run in made.runs][:2] == BEGUN
    assert sorted((run.block, run.blade) for run in made.runs[2:]) == [
        ("day 2", "A2"), ("day 2", "B2"),
    ]  # fmt: skip
    assert made.seed == 1


def test_a_log_that_names_no_block_is_planned_as_ever(without_plan):
    log = without_plan / "log.csv"
    log.write_text(log.read_text().replace("day 1", "").replace("day 2", ""))
    made = _order_of(open_source(without_plan), PlanOptions(blocks=None))
    assert {run.block for run in made.runs} == {"roll 1"}


def test_what_is_left_goes_where_its_heat_treatment_is_missing(under_way):
    """One run was begun: each roll still gets a blade of each heat treatment."""

    def with_pair(now):
        more = [now.blades[0].model_copy(update={"id": f"{side}3", "heat_treatment": side.lower()})
                for side in "AB"]  # fmt: skip
        return now.model_copy(update={"plan": None, "blades": (*now.blades, *more)})

    change_study(under_way, with_pair)
    log = under_way / "log.csv"
    log.write_text(f"{HEADING},block\nA1,0,20,2.5,,roll 1\n")
    rolls = ("roll 1", "roll 2", "roll 3")
    for seed in range(8):
        made = _order_of(open_source(under_way), PlanOptions(blocks=rolls, seed=seed))
        held = {(run.block, run.treatment) for run in made.runs}
        assert held == {(roll, side) for roll in rolls for side in "ab"}
        assert ("roll 1", "A1") in [(run.block, run.blade) for run in made.runs]


def test_a_split_that_was_typed_before_the_first_cut_stands(without_plan):
    log = without_plan / "log.csv"
    log.write_text(log.read_text().replace(",2.5,,day", ",,,day"))
    source = open_source(without_plan)
    split = {("day 1", "A1"), ("day 1", "B1"), ("day 2", "A2"), ("day 2", "B2")}
    made = _order_of(source, PlanOptions())
    assert {(run.block, run.blade) for run in made.runs} == split
    assert made.seed == 1
    save_plan(source, made)
    assert {(row["block"], row["blade"]) for row in rows_of(without_plan)} == split
    asked = _order_of(open_source(without_plan), PlanOptions(blocks=("day 7",), anew=True))
    assert {run.block for run in asked.runs} == {"day 7"}  # a split that is asked for


@pytest.mark.parametrize("begun", [("A1", "B1", "A2", "B2"), ("A1", "B1")])
def test_a_second_run_that_waits_stays_in_the_plan(without_plan, begun):
    """Each blade is to be cut on both days; some were, on one of them."""
    runs = {(day, blade) for day in DAYS for blade in ("A1", "B1", "A2", "B2")}
    rows = [f"{blade},0,20,{2.5 if day == 'day 1' and blade in begun else ''},,{day}"
            for day, blade in sorted(runs)]  # fmt: skip
    text = "\n".join([f"{HEADING},block", *rows, "Z9,0,20,,,day 2", ""])
    (without_plan / "log.csv").write_text(text)
    source = open_source(without_plan)
    made = _order_of(source, PlanOptions(blocks=None))
    assert {(run.block, run.blade) for run in made.runs} == runs  # Z9 is no blade of the study
    assert (made.seed is None) == (len(begun) == 4)
    due = {(run.block, run.blade) for run in runs_due(source, made).runs}
    assert due == runs - {("day 1", blade) for blade in begun}
