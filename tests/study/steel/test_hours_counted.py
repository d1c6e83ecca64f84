"""Hours are the maker's own where they were written, and known as such; else the program's."""

from edgetest.study.steel.hours_counted import losses_of
from edgetest.study.steel.steel_rows import VerdictWishes


def test_what_a_mistake_costs_keeps_its_default_where_nothing_is_said():
    usual = losses_of(VerdictWishes())
    told = losses_of(VerdictWishes.model_validate({"blade_hours": 40, "no_test": ["sparks"]}))
    assert told.blade_hours == 40.0
    assert told.known_steel_hours == usual.known_steel_hours
    assert told.no_test == ("sparks",)


def test_hours_that_the_maker_wrote_are_known_as_the_maker_s():
    assert losses_of(VerdictWishes(blade_hours=6)).stated == ("blade_hours",)
    assert losses_of(VerdictWishes()).stated == ()


def test_blades_wanted_are_known_where_they_were_written():
    assert losses_of(VerdictWishes(blades_wanted=6)).blades_wanted == 6
    assert losses_of(VerdictWishes()).blades_wanted is None
