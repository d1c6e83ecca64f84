"""The plan of single chops with two tools: measured chops for a ratio of depths."""

import pytest

from edgetest.doubts import codes
from edgetest.store.workspace import new_study
from edgetest.study.chop import depths_planned as module
from edgetest.study.sources import open_source
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import make_plan
from tests.cli.json_schemas import validator


@pytest.fixture
def source(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "STUDIES", 60)
    monkeypatch.setattr(module, "STUDIES_OWN", 60)
    new_study(tmp_path / "s", "single_chop", "Probe", blades=[{"id": "H1"}], control="C1")
    return open_source(tmp_path / "s")


def test_measured_chops_with_each_tool_are_told_with_their_range(source):
    plan = make_plan(source)
    (need,) = plan.need.woods
    assert need.low < need.pieces < need.high
    assert 7 <= need.pieces <= 12  # 2 (0.15 · 2.8 / log 1.25)² = 7, and the t's more
    assert plan.need.planned == 13
    told = plan.summary()
    assert "measured chops with each tool (" in told
    assert "blades of each heat treatment" not in told
    assert "roll" not in told
    assert codes(plan.doubts) == ("tools_not_treatments",)
    assert {run.block for run in plan.runs} == {"board 1"}


def test_a_larger_ratio_takes_fewer_chops(source):
    large = make_plan(source, PlanOptions(ratio=1.5)).need
    assert large.woods[0].pieces < make_plan(source).need.woods[0].pieces
    assert large.as_planned.value > 0.95


def test_its_json_is_as_the_schema_says(source):
    told = make_plan(source).to_dict()
    assert [one.message for one in validator("plan").iter_errors(told)] == []
    assert told["tools"]["woods"][0]["strokes"] is None
