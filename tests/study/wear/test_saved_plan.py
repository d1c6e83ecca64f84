"""A plan that is saved keeps what was chosen when the study was made."""

import csv
from dataclasses import replace

import pytest

from edgetest.store.workspace import change_study
from edgetest.study.bench.bench_order import keep_order
from edgetest.study.sources import open_source
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import drawn_order
from edgetest.study.wear.saved_plan import save_plan

MAKE = ("new", "--protocol", "sisal_rope", "--blade", "H1=hard", "--blade", "S1=soft")


def test_a_plan_keeps_to_the_reading_that_was_chosen(run, tmp_path):
    folder = tmp_path / "rope"
    assert run(*MAKE, folder, "--reading", "edge_width_um")[0] == 0
    assert run("plan", folder)[0] == 0
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["block"] for row in rows} == {"roll 1"}
    assert {row["station_mm"] for row in rows} == {"20", "40", "60"}
    assert len(rows) == 2 * 9 * 3  # blades, stages, stations: no row for other readings
    assert "sever_force_gf" not in rows[0]


def test_a_reading_that_was_not_chosen_can_still_be_entered(run, tmp_path):
    folder = tmp_path / "rope"
    assert run(*MAKE, folder, "--reading", "edge_width_um")[0] == 0
    assert run("enter", folder, "blade=H1", "cuts=0", "sever_force_gf=90")[0] == 0
    with (folder / "log.csv").open(encoding="utf-8", newline="") as file:
        assert [row["blade"] for row in csv.DictReader(file) if row["sever_force_gf"]] == ["H1"]


@pytest.mark.parametrize("kept", [{}, {"unsealed": "2026-11-29", "codes": ["H1", "S1"]}])
def test_an_order_without_a_number_is_planned_again_without_one(run, tmp_path, kept):
    """As kept in the order listed, drawn under seal and unsealed, or written by hand."""
    folder = tmp_path / "rope"
    assert run(*MAKE, folder, "--reading", "edge_width_um")[0] == 0
    keep_order(open_source(folder))
    change_study(folder, lambda now: now.model_copy(update={"plan": {**now.plan, **kept}}))
    assert run("enter", folder, "blade=H1", "cuts=0", "station_mm=20", "edge_width_um=3")[0] == 0
    source = open_source(folder)
    order = drawn_order(source.study, PlanOptions(blocks=None, seed=1))
    assert order.seed is None
    save_plan(source, order)
    plan = open_source(folder).study.plan
    assert (plan["order"], "seed" in plan) == ([["", "H1"], ["", "S1"]], False)
    save_plan(source, replace(order, seed=4))
    assert open_source(folder).study.plan["seed"] == 4
