"""Which temper a maker should go on with, of those that were read."""

import pytest

from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, TemperSeen
from edgetest.study.steel.evidence_words import nearest_temper

WANTED = (52.0, 59.0)


def temper(celsius, low, high, where="below", **more):
    return TemperSeen(celsius, 60.0, hardness=(HardnessSeen(low, high, where),), **more)


def heats(*tempers, **more):
    return [HeatSeen("A", "1", tempers=tempers, **more)]


def test_the_middle_of_what_is_wanted_is_the_mark():
    found = nearest_temper(heats(temper(175, 60, 65), temper(205, 55, 60), temper(230, 55, 60),
                                 temper(260, 50, 55, for_use=True)), WANTED)  # fmt: skip
    assert found == (
        "Of the tempers read, 205 °C (55 to 60 HRC) and 230 °C (55 to 60 HRC) came nearest to the "
        "52 to 59 HRC wanted. The one for use, 260 °C, read 50 to 55 HRC: partly beside it."
    )


def test_a_temper_for_use_within_what_is_wanted_is_not_remarked_upon():
    found = nearest_temper(heats(temper(205, 57.0, 57.0, for_use=True)), WANTED)
    assert found.endswith("205 °C (57 HRC) came nearest to the 52 to 59 HRC wanted.")


@pytest.mark.parametrize(
    "given",
    [heats(), heats(temper(205, None, 60)), heats(temper(None, 55, 60)),
     heats(temper(205, 44.4, 46.1)), heats(temper(150, 60, 65)),
     heats(temper(205, 55, 60), carburised=True)],
)  # fmt: skip
def test_of_what_was_not_read_or_lies_wholly_beside_nothing_is_said(given):
    assert nearest_temper(given, WANTED) == ""


def test_readings_below_the_skin_come_before_those_of_it():
    both = TemperSeen(205, 60.0, hardness=(HardnessSeen(40, 45, "skin"),
                                           HardnessSeen(55, 60, "below")))  # fmt: skip
    assert "205 °C (55 to 60 HRC)" in nearest_temper(heats(both), WANTED)


def test_a_temper_for_use_that_lies_wholly_beside_is_said_to():
    found = nearest_temper(heats(temper(205, 55, 60), temper(300, 45, 50, for_use=True)), WANTED)
    assert found.endswith("The one for use, 300 °C, read 45 to 50 HRC: beside it.")
