"""Faults of tools' tables are told with those of the rest of study.toml, all at once."""

import pytest

from edgetest.errors import ManyFaults
from edgetest.study.chop.chop_faults import faults_of_tables
from edgetest.study.sources import open_chops, open_source

HEAVY = 'blades = [{id = "H1", mass_g = "heavy"}]\n'
STUDY = 'title = "Hatchet"\nprotocol = "billet_chop"\n'
TABLES = """
[handling.H1]
grip_mm = -1
strike_mm = 300
[outline.H1]
widths = [[0, 20], [300, 40]]
[document]
customer = 5
"""


@pytest.mark.parametrize("opened", [open_chops, open_source])
def test_a_fault_of_a_blade_hides_none_of_its_handling_shape_and_document(tmp_path, opened):
    (tmp_path / "study.toml").write_text(STUDY + HEAVY + TABLES, encoding="utf-8")
    (tmp_path / "chops.csv").write_text("blade,kind,chops\n", encoding="utf-8")
    with pytest.raises(ManyFaults) as met:
        opened(tmp_path)
    assert [fault.where for fault in met.value.faults] == [
        "study.toml, blades 1 (H1), mass_g",
        "study.toml, document, customer",
        "study.toml, handling.H1, grip_mm",
        "study.toml, outline.H1, thicknesses",
    ]


@pytest.mark.parametrize(
    ("blades", "told"),
    [
        ([{"id": "C1"}], ["study.toml, handling.H1"]),
        ([{"title": "no id"}], []),
        (5, []),
        (None, []),
    ],
)
def test_a_name_is_held_against_the_blades_only_where_these_can_be_read(blades, told):
    tables = {"blades": blades, "handling": {"H1": {"grip_mm": 60, "strike_mm": 300}}}
    assert [fault.where for fault in faults_of_tables(tables)] == told
    assert faults_of_tables({"handling": 5, "outline": [], "blades": blades}) == ()
