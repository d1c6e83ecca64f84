"""Columns, priors and exposure of severed billets, as they are written down."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.count_design import Billets, check_billets, design_of
from edgetest.errors import UnusableInput


def designed(reference=3200.0, **columns):
    given = {"blade": list("AAB"), "chops": [20, 30, 25], "area_cm2": [40.0, 50.0, 40.0]}
    billets = check_billets(Billets(**{**given, **columns}))
    return billets, design_of(billets, reference)


def test_blades_come_first_and_are_free():
    billets, design = designed()
    assert design.names == ("A", "B")
    assert_allclose(design.matrix, [[1, 0], [1, 0], [0, 1]])
    assert np.isinf(design.prior.sd).all()
    assert_allclose(billets.exposure, [0.4, 0.5, 0.4])
    assert not billets.given_up
    assert (design.hardness, design.dulling, design.boards) == (None, None, ())


def test_hardness_is_the_log_over_the_reference_with_its_prior():
    billets, design = designed(hardness_n=[3200.0, 6400.0, 1600.0])
    assert design.hardness == 2
    assert_allclose(design.matrix[:, 2], [0.0, np.log(2), -np.log(2)])
    assert (design.prior.mean[2], design.prior.sd[2]) == (0.55, 0.20)
    assert not billets.one_wood
    assert designed(hardness_n=[3200.0] * 3)[0].one_wood


def test_dulling_counts_hundreds_of_chops_from_their_weighted_middle():
    _, design = designed(chops_before=[0, 20, 0])
    middles = np.array([10.0, 35.0, 12.5])
    mean = (20 * 10 + 30 * 35 + 25 * 12.5) / 75
    assert design.at_chops == pytest.approx(mean)
    assert_allclose(design.matrix[:, design.dulling], (middles - mean) / 100)
    assert design.prior.sd[design.dulling] == 0.3
    assert design.from_fresh
    assert not designed(chops_before=[500, 520, 500])[1].from_fresh
    assert designed(chops=[20, 20, 20], chops_before=[5, 5, 5])[1].dulling is None


def test_boards_are_drawn_towards_their_mean_and_one_is_none():
    _, design = designed(board=["p", "q", "p"])
    assert_allclose(design.matrix[:, 2:], [[1, 0], [0, 1], [1, 0]])
    assert_allclose(design.prior.sd[2:], 0.15)
    assert designed(board=["p"] * 3)[1].boards == ()


def test_what_was_cut_counts_and_what_still_stands_is_a_bound():
    half, _ = designed(share_cut=[1, 0.5, 1])
    assert_allclose(half.exposure, [0.4, 0.25, 0.4])
    assert half.given_up
    standing, _ = designed(severed=[True, True, False])
    assert standing.standing.tolist() == [False, False, True]
    assert standing.given_up
    with pytest.raises(UnusableInput, match="billet 2 has 0"):
        designed(area_cm2=[40.0, 0.0, 40.0])
    with pytest.raises(UnusableInput, match="billet 3 has -1"):
        designed(chops_before=[0, 0, -1])
    with pytest.raises(UnusableInput, match="2 values for 3 billets"):
        designed(severed=[True, False])
