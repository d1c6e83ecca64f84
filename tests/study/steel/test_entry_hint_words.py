"""The command that writes the next test down, test by test."""

from types import SimpleNamespace

import pytest

from edgetest.study.steel.entry_hint import entry_hint


def hint(code, of=None, piece="old leaf"):
    test = SimpleNamespace(code=code) if code else None
    decision = SimpleNamespace(next_test=test, of=of)
    return entry_hint(SimpleNamespace(asked=SimpleNamespace(piece=piece, decision=decision)), "a b")


START = "Then write down what you found, such as: edgetest enter 'a b' --evidence "


@pytest.mark.parametrize(
    ("code", "of", "row"),
    [
        ("magnet", None, "pieces id='old leaf' magnet=strong"),
        ("laboratory", None, "pieces id='old leaf' carbon_pct=0.62"),
        ("coupon_oil", None, "heats piece='old leaf' coupon=1 medium=oil magnet='lets go'"),
        ("coupon_water", ("C 2", 3), "heats piece='old leaf' coupon='C 2' medium=warm_water "),
        ("second_piece", ("C2", 3), "heats piece=OTHER coupon=1 medium=oil "),
        ("grind_and_file", ("C2", 3), "heats piece='old leaf' coupon=C2 heat=3 hardness_below="),
        ("break_coupon", None, "heats piece='old leaf' coupon=1 heat=1 fracture="),
        ("temper_ladder", ("C2", 3), "tempers piece='old leaf' coupon=C2 temperature_c=205"),
        ("bend", ("C2", 3), "trials piece='old leaf' coupon=C2 heat=3 test=bend edge=sound"),
        ("bend", None, "trials piece='old leaf' test=bend edge=sound"),
        ("sharpen_again", None, "trials piece='old leaf' test=rope result=same"),
    ],
)
def test_each_test_has_its_row(code, of, row):
    assert hint(code, of).startswith(START + row)


def test_a_trial_blade_is_written_down_with_its_heat_and_temper():
    told = hint("trial_blade").split("\n  ")
    assert len(told) == 4
    assert [line.split(" --evidence ")[1].split()[0] for line in told[1:]] == [
        "heats", "tempers", "trials",
    ]  # fmt: skip
    assert all("coupon=blade1" in line for line in told[1:])
    assert "trials coupon=blade1 piece='old leaf' test=rope" in told[3]


@pytest.mark.parametrize("code", [None, "something_else"])
def test_what_is_written_down_otherwise_has_no_hint(code):
    assert hint(code) == ""
