"""A plan tells that its study's own test could give the scatter, and that a reading is missing."""

from types import SimpleNamespace

import pytest

from edgetest.store.log_rows import LogRow
from edgetest.study.wear.planned_beside_log import log_doubts, scatter_doubt

WIDTH = SimpleNamespace(reading="edge_width_um")
BLADES = {"A1": "hard", "A2": "hard", "B1": "soft", "C": ""}


def source(runs=(), columns=("blade", "cuts", "edge_width_um")):
    """A study whose log holds readings of some blades at some stages."""
    blades = [SimpleNamespace(id=name, heat_treatment=kind) for name, kind in BLADES.items()]
    rows = [
        LogRow(2, blade, cuts, readings={"edge_width_um": 3.0}, exclude=why)
        for blade, stages, why in runs
        for cuts in stages
    ]
    return SimpleNamespace(
        study=SimpleNamespace(blades=blades, control="C"),
        log=SimpleNamespace(rows=rows, columns=columns),
    )


def code_of(*runs, **more):
    return scatter_doubt(source(runs, **more), "15 %").code


def test_blades_of_one_heat_treatment_that_were_read_are_named_as_a_source_of_the_scatter():
    stages = (0, 50, 100)
    assert code_of(("A1", stages, ""), ("A2", stages, "")) == "scatter_of_log_not_named"
    said = scatter_doubt(source([("A1", stages, ""), ("A2", stages, "")]), "15 %").text
    assert said.startswith("The scatter between blades (15 %) is assumed, though")


@pytest.mark.parametrize(
    "other",
    [
        ("B1", (0, 50, 100), ""),  # of another heat treatment
        ("C", (0, 50, 100), ""),  # the control blade
        ("A2", (0, 50), ""),  # not read often enough
        ("A2", (0, 50, 100), "dropped"),  # set aside
    ],
)
def test_what_tells_no_scatter_is_not_named(other):
    assert code_of(("A1", (0, 50, 100), ""), other) == "scatter_assumed"


def test_lives_typed_as_such_need_one_row_a_blade():
    rows = (("A1", (0,), ""), ("A2", (0,), ""))
    assert code_of(*rows, columns=("blade", "life")) == "scatter_of_log_not_named"


def test_a_log_without_the_reading_that_the_plan_is_for_is_told():
    (told,) = log_doubts(source(columns=("blade", "cuts", "sever_force_gf")), WIDTH)
    assert "the log has no column edge_width_um" in told.text
    assert log_doubts(source(), WIDTH) == []
    assert log_doubts(source(columns=("blade", "cuts", "photo")), WIDTH) == []
    assert log_doubts(source(columns=()), WIDTH) == []


def test_a_blade_that_only_waits_and_that_no_study_knows_is_said_to_be_left_out():
    logged = source([("A1", (0, 50), ""), ("X9", (0,), "")])
    logged.log.rows += [LogRow(7, "X8", 0), LogRow(8, "X8", 50), LogRow(9, "A2", 0)]
    (told,) = log_doubts(logged, WIDTH)
    assert told.text.startswith("Row 7 waits for the blade X8, which is not in study.toml")
