"""What a protocol asks of the edges is told before a cut, with what the facts depart in."""

import pytest

from edgetest.store.blades import Blade
from edgetest.store.protocol import load_protocol
from edgetest.store.records import Study
from edgetest.study.wear.foreseen_departures import angle_otherwise, asked_words, foreseen

ROPE = load_protocol("sisal_rope")


def test_the_edges_that_a_protocol_asks_for_are_told_with_its_control_blade():
    said = asked_words(ROPE)
    assert "15° per side (30° included); same stone for all blades" in said
    assert "a control blade, cut beside them" in said
    assert "control blade" not in asked_words(ROPE.model_copy(update={"log": "chops"}))


@pytest.mark.parametrize(("angle", "told"), [(22, True), (15, False), (None, False)])
def test_an_angle_that_is_not_asked_for_is_told_where_it_is_typed(angle, told):
    said = angle_otherwise(Blade(id="A", angle_per_side_deg=angle), ROPE)
    assert said.startswith("The protocol asks for 15° per side (30° included); yours is 22") == told
    assert bool(said) == told


def test_facts_that_depart_are_foreseen_before_any_cut():
    blades = [{"id": "A", "angle_per_side_deg": 22, "edge_finish": "1000 grit"}]
    study = Study(title="t", protocol="sisal_rope", blades=blades)
    assert [(one.of, one.done[:8]) for one in foreseen(study, ROPE)] == [
        ("edge angle", "A 22° pe"), ("control blade", "none was"),
    ]  # fmt: skip
    assert foreseen(study, ROPE.model_copy(update={"log": "chops"})) == ()
