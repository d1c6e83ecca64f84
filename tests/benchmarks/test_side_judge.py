import pytest

from tests.benchmarks.side_finds import Score, score_picture
from tests.benchmarks.side_follows import Followed, score_pair
from tests.benchmarks.side_pictures.pair_kinds import pair
from tests.benchmarks.side_pictures.single_kinds import single


@pytest.fixture(scope="module")
def view():
    return single("plain", 2)


@pytest.fixture(scope="module")
def unrelated():
    return pair("unrelated", 0)


@pytest.fixture(scope="module")
def same():
    return pair("same", 0)


def told(view, **changes):
    finds = [
        {"kind": harm.kind, "position_um": harm.position_um, "length_um": harm.length_um,
         "depth_um": harm.depth_um, "depth_u_um": 1.0}
        for harm in view.harms
    ]  # fmt: skip
    return {"status": "measured", "edge_length_um": view.length_um, "finds": finds, **changes}


def test_an_answer_that_is_the_truth_scores_full(view):
    score = Score()
    score_picture(score, "plain", view, told(view), 10.0)
    assert score.found == score.truths == score.matched == score.reported > 0
    assert all(score.covered)
    assert score.errors == [0.0] * len(score.errors)
    assert score.false_untold + score.false_told + score.scratches + score.split == 0


def test_an_invented_chip_counts_as_false_and_as_told_where_it_is_unsure(view):
    answer = told(view)
    free = max(
        (at for at in range(100, int(view.length_um) - 100, 20)),
        key=lambda at: min(abs(at - harm.position_um) for harm in view.harms),
    )
    deep = 20 * view.sigma_um
    answer["finds"].append({"kind": "chip", "position_um": float(free), "depth_um": deep,
                            "length_um": 30.0, "depth_u_um": 1.0})  # fmt: skip
    score = Score()
    score_picture(score, "plain", view, answer, 10.0)
    assert (score.false_untold, score.false_told) == (1, 0)
    answer["finds"][-1]["kind"] = "unsure"
    score_picture(score, "plain", view, answer, 10.0)
    assert (score.false_untold, score.false_told) == (1, 1)
    answer["finds"][-1]["kind"] = "dust"
    score_picture(score, "plain", view, answer, 10.0)
    assert (score.false_untold, score.false_told) == (1, 1)


def test_half_an_edge_is_short_unless_its_share_is_told(view):
    score = Score()
    half = told(view, edge_length_um=0.5 * view.length_um)
    score_picture(score, "plain", view, half, 10.0)
    assert score.short_untold == 1
    score_picture(score, "plain", view, half | {"measured_share": 0.5}, 10.0)
    assert score.short_untold == 1


def test_unrelated_edges_laid_together_are_a_wrong_place_and_their_growth_is_false(unrelated):
    grown = {"state": "grown", "before": {"position_um": 5.0}, "after": {"position_um": 9.0}}
    score = Followed()
    score_pair(score, unrelated, {"shift_um": 3.0, "accepted": True, "chips": [grown]}, 10.0)
    assert (score.accepted, score.wrong, score.false_growth) == (1, 1, 1)
    score_pair(score, unrelated, {"following": {"accepted": False, "shift_um": None}}, 10.0)
    assert (score.pairs, score.accepted, score.false_growth) == (2, 1, 1)


def test_the_true_shift_is_right_and_one_far_off_is_wrong(same):
    states = [
        {"state": fate.state, "after": {"position_um": fate.position_um}, "before": None}
        for fate in same.fates
    ]
    score = Followed()
    score_pair(score, same, {"shift_um": same.shift_um, "chips": states}, 10.0)
    assert (score.right, score.wrong, score.false_growth) == (1, 0, 0)
    assert all([*score.same, *score.new])
    off = same.shift_um + 2 * same.tolerance_um
    score_pair(score, same, {"shift_um": off, "chips": states}, 10.0)
    assert (score.right, score.wrong) == (1, 1)
