"""Where two lives and their ratio stand side by side and do not agree, the answer says why."""

import re
from dataclasses import replace

import numpy as np
import pytest

from edgetest.estimate import format_count
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import BladeLives

ROLLS = {"r1": 0.0, "r2": -0.35, "r3": 0.1}  # what each does to log lives, invented
OWN = (0.02, -0.03, 0.01, 0.03, -0.01, -0.02, 0.02, -0.03, 0.01)


def uneven_rolls(*, control="C"):
    """Lives of two heat treatments that stood in three rolls in unequal numbers."""
    rows = [("S", "r1"), ("S", "r2"), ("S", "r2"), ("S", "r3"),
            ("H", "r1"), ("H", "r1"), ("H", "r2"), ("H", "r3"), ("H", "r3")]  # fmt: skip
    log_life = [
        5.2 + 0.26 * (name == "H") + ROLLS[roll] + own
        for (name, roll), own in zip(rows, OWN, strict=True)
    ]
    blades = [f"{name}{k}" for k, (name, _) in enumerate(rows)]
    runs = [5.4 + effect for effect in ROLLS.values()]
    return BladeLives(
        blade=[*blades, *[control] * 3], treatment=[*(name for name, _ in rows), *["control"] * 3],
        log_low=[*log_life, *runs], log_high=[*log_life, *runs],
        block=[*(roll for _, roll in rows), *ROLLS],
    )  # fmt: skip


def without_control(lives):
    """The same lives, nothing run beside them."""
    columns = ("blade", "treatment", "log_low", "log_high", "block")
    return BladeLives(**{name: getattr(lives, name)[:9] for name in columns})


def why(found):
    return [one for one in found.sentences() if re.search(r"not \d+ : \d+ = ", one)]


@pytest.mark.parametrize("reference", ["S", "H"])
@pytest.mark.parametrize("control", ["C", None])
def test_blocks_are_named_where_the_lives_hold_them_and_the_ratio_does_not(reference, control):
    lives = uneven_rolls() if control else without_control(uneven_rolls())
    found = compare_lives(lives, ComparisonOptions(control=control, reference=reference))
    (said,) = why(found)
    over, under, quotient = re.search(r"is not (\d+) : (\d+) = ([\d.]*\d)", said).groups()
    told = {
        one.treatment: format_count(one.life.value, one.life.low, one.life.high)[0]
        for one in found.groups
    }  # as the document shows them
    assert (over, under) == (told["H"], told["S"])
    assert float(quotient) == pytest.approx(int(over) / int(under), abs=0.0501)
    assert f"lasts {quotient} " not in found.sentences()[0]
    blocks = {
        "C": "What rolls, boards or days did to the lives, as the control blade C shows it, is "
        "taken out of the ratio: so it is not ",
        None: "the lives hold what the blocks (rolls, boards, days) did to them, and the ratio "
        "does not.",
    }
    assert blocks[control] in said


def test_a_control_is_named_also_where_lives_and_ratio_agree():
    lives = uneven_rolls()
    flat = [lives.log_low[k] - (ROLLS[block]) for k, block in enumerate(lives.block)]
    alike = BladeLives(blade=lives.blade, treatment=lives.treatment, log_low=flat, log_high=flat,
                       block=lives.block)  # fmt: skip
    found = compare_lives(alike, ComparisonOptions(control="C"))
    assert why(found) == []
    assert (
        "What the blocks did to the lives was read from the control blade C." in found.sentences()
    )


def test_nothing_is_said_where_the_quotient_is_the_ratio():
    lives = without_control(uneven_rolls())
    assert why(compare_lives(replace(lives, block=None))) == []


def test_bounds_are_named_where_they_are_the_reason():
    """Of four lives a side one is known only to be longer."""
    low = np.log([100, 140, 95, 180, 130, 190, 150, 200, 210])
    high = low.copy()
    low[[3, 8]], high[[3, 8]] = np.log([110, 160]), np.inf
    lives = BladeLives(blade=list("abcdefghi"), treatment=["S"] * 4 + ["H"] * 5, log_low=low,
                       log_high=high, block=["r1", "r1", "r2", "r2", "r1", "r2", "r2", "r3", "r3"],
                       )  # fmt: skip
    found = compare_lives(lives)
    for said in why(found):
        assert "an end of the life is known alone" in said
    assert len(why(found)) == 1
