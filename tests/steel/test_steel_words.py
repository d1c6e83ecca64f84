"""What a test says of how it is done: each step of the ladder, the rod of the brass."""

from edgetest.steel.steel_words import TESTS_BY_CODE


def test_the_ladder_lists_its_steps_and_says_when_to_stop():
    why = TESTS_BY_CODE["temper_ladder"].why
    *first, last = [str(175 + 14 * step) for step in range(7)]
    assert f"{', '.join(first)} and {last} °C" in why
    assert "stop once it reads softer than wanted" in why


def test_the_brass_rod_has_its_size_its_angle_and_how_hard_to_press():
    why = TESTS_BY_CODE["brass_rod"].why
    for said in ("6 mm thick", "sharpening angle", "until you see it flex", "no source"):
        assert said in why
