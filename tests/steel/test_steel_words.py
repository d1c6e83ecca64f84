"""What a test says of how it is done: each step of the ladder, the rod of the brass."""

from edgetest.report.wording import in_units
from edgetest.steel.steel_words import TESTS_BY_CODE


def test_the_ladder_lists_its_steps_and_says_when_to_stop():
    why = TESTS_BY_CODE["temper_ladder"].why
    *first, last = [f"{175 + 14 * step} °C" for step in range(7)]
    assert f"{', '.join(first)} and {last}," in why
    assert "may stop at the first that reads in the range wanted" in why
    assert "once one reads softer than wanted the coupon is spent" in why


def test_each_step_of_the_ladder_is_told_in_fahrenheit_too():
    said = in_units(TESTS_BY_CODE["temper_ladder"].why, "inch")
    assert "347 °F, 372 °F, 397 °F, 423 °F, 448 °F, 473 °F and 498 °F" in said
    assert "°C" not in said


def test_the_brass_rod_has_its_size_its_angle_and_how_hard_to_press():
    why = TESTS_BY_CODE["brass_rod"].why
    for said in ("6 mm thick", "sharpening angle", "until you see it flex", "no source"):
        assert said in why
