"""What the control blade lasted in each block is told, where it ran in two and its end was seen."""

from math import inf
from types import SimpleNamespace

import pytest

from edgetest.study.wear.control_by_block import control_by_block


def told(*runs, control="C"):
    """Runs of (blade, block, cuts, low, high), their lives within reach unless they have no end."""
    used, blades = [], []
    for number, (blade, block, cuts, low, high) in enumerate(runs):
        used.append(SimpleNamespace(run=f"{blade}{number}", blade=blade, block=block))
        life = SimpleNamespace(cuts=cuts, low=low, high=high, beyond_reach=high == inf)
        blades.append(SimpleNamespace(blade=f"{blade}{number}", life=life))
    return [one.text for one in control_by_block(control, used, SimpleNamespace(blades=blades))]


ONE, TWO = ("C", "roll 1", 200.0, 180.0, 220.0), ("C", "roll 2", 250.0, 230.0, 270.0)


def test_each_block_has_its_life_and_the_two_furthest_apart_are_held_together():
    (said,) = told(ONE, TWO, ("A", "roll 2", 900.0, 800.0, 999.0))
    assert "200 (180 to 220) in roll 1 and 250 (230 to 270) in roll 2" in said
    assert "lie 25 % apart" in said


def test_lives_all_but_alike_are_less_than_a_per_cent_apart():
    (said,) = told(ONE, ("C", "roll 2", 200.2, 180.0, 220.0))
    assert "lie less than 1 % apart" in said


@pytest.mark.parametrize(
    "other",
    [
        ("C", "roll 1", 250.0, 230.0, 270.0),  # the same block
        ("C", "", 250.0, 230.0, 270.0),  # no block noted
        ("C", "roll 2", 250.0, 230.0, inf),  # beyond reach
        ("A", "roll 2", 250.0, 230.0, 270.0),  # another blade
    ],
)
def test_one_block_alone_tells_nothing(other):
    assert told(ONE, other) == []
    assert told(ONE, TWO, control=None) == []
