"""A reading typed anew of a coupon that has its heat is asked about: it would be a second heat."""

import pytest

from edgetest.study.steel.second_heats import second_heats_asked
from edgetest.study.steel.steel_rows import SteelRows

FIRST = {"coupon": "D6", "medium": "oil", "heat_c": 812, "hardness_below": ">65"}


def asked(*more):
    return list(second_heats_asked(SteelRows(heats=[FIRST, *more])))


@pytest.mark.parametrize("cell", [{"hardness_below": "<40"}, {"hardness_skin": "<40"},
                                  {"grain": "fine"}, {"fracture": "snapped clean"}])  # fmt: skip
def test_a_bare_reading_of_a_coupon_that_has_a_heat_is_asked_about(cell):
    (one,) = asked({"coupon": "D6", **cell})
    assert one.where == "study.toml, evidence, heats 2"
    assert one.what.startswith("it counts as heat 2 of coupon D6, and says neither")
    assert "type it with piece=1 coupon=D6 heat=1 (--replace" in one.mend


@pytest.mark.parametrize(
    "row",
    [
        {
            "coupon": "D5",
            "hardness_below": "<40",
        },  # of another coupon
        {"coupon": "D6", "heat": 2, "hardness_below": "<40"},  # its number was typed
        {"coupon": "D6", "medium": "water", "hardness_below": "<40"},
        {"coupon": "D6", "note": "broke off"},
    ],
)
def test_another_coupon_heat_or_quench_is_not(row):
    assert asked(row) == []


def test_it_is_told_as_it_is_entered_and_by_check(run, tmp_path):
    folder = tmp_path / "discs"
    run("new", folder, "--steel-for", "hedging tool")
    piece = ("id=disc 6", "origin=plough disc", "coating=none", "lead=no", "magnet=strong")
    run("enter", folder, "--evidence", "pieces", *piece)
    at = ("enter", folder, "--evidence", "heats", "piece=disc 6", "coupon=D6")
    assert run(*at, "medium=oil", "heat_c=812", "hardness_below=>65")[0] == 0
    for out in (run(*at, "hardness_below=<40")[1], run("check", folder)[1]):
        assert "it counts as heat 2 of coupon D6" in out
        assert "piece='disc 6' coupon=D6 heat=1" in out


def test_the_same_quench_with_another_reading_is_asked_about():
    (one,) = asked({**FIRST, "hardness_below": "55-60"})
    assert (
        one.what == "it counts as heat 2 of coupon D6, and tells the same quench as a heat before"
    )
    assert "take this row back, and type it with --replace" in one.mend
    assert "add heat=2 to this row" in one.mend


def test_that_the_coupon_was_broken_before_is_said():
    broken = {**FIRST, "grain": "fine"}
    (one,) = second_heats_asked(SteelRows(heats=[broken, {**broken, "hardness_below": "55-60"}]))
    assert one.what.endswith("a heat before, after which it was broken")


@pytest.mark.parametrize("change", [{"heat": 2}, {"heat_c": 840}, {"coupon": "D7"},
                                    {"hardness_below": ">60", "medium": "water"}, {}])  # fmt: skip
def test_a_numbered_heat_another_heat_and_no_reading_are_not(change):
    assert asked({**FIRST, **change}) == []
