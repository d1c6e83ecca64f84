"""Handling and shapes as typed: limits behind ±, what a pendulum needs, whose table it is."""

from math import sqrt
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.checking import validate
from edgetest.study.chop.handling import Handling, Shape, handling_of, outline_of

HELD = {"grip_mm": 60, "strike_mm": 310}
SWUNG = {"mass_g": 700, "balance_mm": 200, "pivot_mm": 20, "swings": 10, "seconds": [9.5, 9.6]}


def handling(**more):
    return validate(Handling, HELD | more, "handling")


def fault(model=Handling, **more):
    with pytest.raises(UnusableInput) as met:
        validate(model, more, "x")
    return str(met.value)


@pytest.mark.parametrize(
    ("typed", "value", "u"),
    [("277 ± 2", 277, 2 / sqrt(3)), ("277 +/- 2 mm", 277, 2 / sqrt(3)),
     ("27.7 ± 0.2 cm", 277, 2 / sqrt(3)), ("277+-3", 277, sqrt(3))],
)  # fmt: skip
def test_limits_are_a_rectangular_distribution(typed, value, u):
    found = handling(strike_mm=typed)
    assert found.strike_mm == pytest.approx(value)
    assert found.strike_u_mm == pytest.approx(u)


def test_a_mass_has_its_limits_in_grams():
    assert handling(mass_g="700 ± 3").mass_u_g == pytest.approx(sqrt(3))
    assert "keep one of the two" in fault(**HELD, mass_g="700 ± 3", mass_u_g=1.0)
    assert "strike_mm" in fault(grip_mm=60, strike_mm="277 ± x")


def test_what_nobody_said_has_its_usual_doubt():
    found = handling()
    assert (found.mass_u_g, found.balance_u_mm, found.pivot_u_mm) == (1.0, 1.0, 1.0)
    assert found.swing_test() is None


@pytest.mark.parametrize(("strike", "fine"), [(61, True), (60, False), (59, False)])
def test_the_strike_point_lies_beyond_the_grip(strike, fine):
    if fine:
        assert handling(strike_mm=strike).strike_mm == strike
    else:
        assert "is not beyond the grip" in fault(grip_mm=60, strike_mm=strike)


@pytest.mark.parametrize("left_out", sorted(SWUNG))
def test_a_pendulum_test_needs_all_its_parts(left_out):
    parts = {key: value for key, value in SWUNG.items() if key != left_out}
    assert f"a pendulum test without {left_out}" in fault(**HELD, **parts)


def test_a_whole_pendulum_test_is_one_and_a_balance_alone_is_none():
    test = handling(**SWUNG, amplitude_deg=10).swing_test()
    assert (test.mass_g, test.balance_mm, test.pivot_mm, test.swings) == (700, 200, 20, 10)
    assert test.amplitude_deg == 10
    assert handling(mass_g=700, balance_mm=200).swing_test() is None


def test_a_hold_takes_the_tool_s_own_length_first():
    assert handling().hold().length_mm is None
    assert handling().hold(350.0).length_mm == 350.0
    assert handling(length_mm=340).hold(350.0).length_mm == 340


def study(control=None, **sections):
    blades = [SimpleNamespace(id=name) for name in ("H1", "H2")]
    return SimpleNamespace(blades=blades, control=control, handling=None, outline=None) if (
        not sections) else SimpleNamespace(blades=blades, control=control, **sections)  # fmt: skip


def test_a_table_without_a_blade_is_the_only_subject_s():
    assert handling_of(study()) == {}
    assert list(handling_of(study("H2", handling=HELD))) == ["H1"]
    with pytest.raises(UnusableInput, match="does not say which blade it is of") as met:
        handling_of(study(handling=HELD))
    assert "[handling.H1]" in met.value.mend
    assert list(handling_of(study(handling={"H2": HELD}))) == ["H2"]


@pytest.mark.parametrize(
    ("table", "words"),
    [({"H9": HELD}, '"H9" is not a blade'), ({"H1": 5}, "is not a table"),
     ({"H1": {"grip_mm": 60}}, "strike_mm")],
)  # fmt: skip
def test_faults_of_tables_are_raised_with_their_place(table, words):
    with pytest.raises(UnusableInput, match=words):
        handling_of(study(handling=table))


def test_a_strike_point_before_the_grip_is_told_beside_the_table_s_other_faults():
    table = {"grip_mm": 310, "strike_mm": "60 ± 2", "mass_g": "heavy", "ballance_mm": 200}
    with pytest.raises(UnusableInput) as met:
        handling_of(study(handling={"H1": table}))
    told = str(met.value).splitlines()
    assert len(told) == 3
    assert sum("60 mm, is not beyond the grip, 310 mm" in line for line in told) == 1
    with pytest.raises(UnusableInput) as alone:
        handling_of(study(handling={"H1": HELD | {"grip_mm": 310}}))
    assert "\n" not in str(alone.value)


ROWS = [[0, 30], [300, 40]]
THICK = {"thicknesses": [[0, 5], [300, 3]]}


@pytest.mark.parametrize(
    ("more", "fine"),
    [
        ({"widths": ROWS}, True),
        ({"sides": [[0, 10, 20], [300, 15, 25]]}, True),
        ({}, False),
        ({"widths": ROWS, "sides": [[0, 10, 20]]}, False),
        ({"silhouette": "a.png", "mm_per_px": 0.5}, True),
        ({"silhouette": "a.png", "scale": "far"}, True),
        ({"silhouette": "a.png"}, False),
        ({"silhouette": "a.png", "mm_per_px": 0.5, "scale": "far"}, False),
        ({"widths": ROWS, "silhouette": "a.png", "mm_per_px": 0.5}, False),
    ],
)
def test_the_widths_come_from_exactly_one_place(more, fine):
    if fine:
        assert validate(Shape, THICK | more, "x").ground is None
    else:
        assert fault(Shape, **THICK, **more)


def test_sides_are_a_width_and_the_middle_of_it():
    of_widths = outline_of(validate(Shape, THICK | {"widths": ROWS}, "x"), None)
    sides = {"sides": [[0, 10, 20], [300, 15, 25]]}
    of_sides = outline_of(validate(Shape, THICK | sides, "x"), None)
    assert np.allclose(of_sides.width_mm[[0, -1]], of_widths.width_mm[[0, -1]])
    assert np.allclose(of_sides.centre_mm[[0, -1]], [-5, -5])
    assert np.allclose(of_widths.centre_mm, 0)
    with pytest.raises(UnusableInput, match="outline"):
        outline_of(validate(Shape, THICK | {"widths": ROWS[::-1]}, "x"), None)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, ""),
        ({"balance_mm": 185}, "balance 185 mm from the butt"),
        ({"balance_mm": 185, "handle_front_mm": 130}, "balance 55 mm ahead of the handle"),
        (
            {"balance_mm": 110, "handle_front_mm": 130},
            "balance 20 mm behind the front of the handle",
        ),
    ],
)
def test_the_balance_is_told_without_a_stopwatch(typed, told):
    assert handling(**typed).balance_words() == told
