"""A step of a heat treatment in words."""

from edgetest.store.heat_treatments import Step


def test_a_temper_by_colour_is_told_by_its_note_and_no_degrees():
    step = Step(kind="temper", note="torch from the spine, edge straw")
    assert step.words() == "temper torch from the spine, edge straw"
    hot = Step(kind="temper", temperature_c=200, repeats=2, note="in sand")
    assert hot.words() == "temper 2 × 200 °C, in sand"
