import numpy as np
import pytest
from scipy.special import digamma
from scipy.stats import t as student

from edgetest.steel.belief import (
    BLADE_SD_LOG,
    DamageEvidence,
    LifeEvidence,
    damage_belief,
    hardness_belief,
    life_belief,
)
from edgetest.steel.hardness import fit_hardness

GOOD_HARDNESS = fit_hardness(value=[59.5, 60, 59.5])
TWO_PIECES = fit_hardness(value=[59, 60, 60, 59.5], piece=list("abab"))


def test_few_blades_widen_by_students_t():
    many = life_belief((LifeEvidence(0, 0.1, 1e9, between_blades_in_se=True),), full=0.8,
                       light=0.5, lot=False)  # fmt: skip
    few = life_belief((LifeEvidence(0, 0.1, 3, between_blades_in_se=True),), full=0.8,
                      light=0.5, lot=False)  # fmt: skip
    assert few.sd / many.sd == pytest.approx(student.ppf(0.975, 3) / 1.959964, rel=1e-5)


def test_single_blades_carry_the_blade_to_blade_spread():
    belief = life_belief((LifeEvidence(0.0, 0.0),), full=0.8, light=0.5, lot=False)
    assert belief.sd == pytest.approx(BLADE_SD_LOG * np.sqrt(2))


def test_no_damage_at_all_is_a_short_exposure_not_a_zero_rate():
    # An exact 95 % upper end of 3.689 for no event is an exposure of one; Jeffreys from there.
    belief = damage_belief((DamageEvidence(0, 0, 3.68888),), full=1.0, light=2.0, lot=False)
    assert belief.mean == pytest.approx(digamma(0.5), abs=1e-5)
    assert belief.sd == pytest.approx(np.pi / np.sqrt(2), rel=1e-9)


def test_hardness_of_the_lot_keeps_its_piece_to_piece_part_apart():
    make = {"full": (57, 62), "light": (52, 64), "piece": None, "lot": True}
    several = hardness_belief(TWO_PIECES, **make)
    assert several.sd == pytest.approx(TWO_PIECES.moments()[1])
    learnt = several.sd**2 - several.fixed_sd**2
    assert learnt == pytest.approx(TWO_PIECES.lot_mean_sd_hrc**2, rel=1e-9)
    one = hardness_belief(GOOD_HARDNESS, **make)
    assert one.sd**2 == pytest.approx(GOOD_HARDNESS.moments()[1] ** 2 + 2 * 1.5**2, rel=1e-9)
    assert one.fixed_sd == 1.5
