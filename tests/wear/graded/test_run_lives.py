"""What is told of a life that was noted, or read off grades?"""

from math import exp, inf, isnan, log, nan

import pytest

from edgetest.wear.graded.run_lives import (
    NotedLife,
    RunLife,
    RunLives,
    log_ends,
    mean_ends,
    noted_lives,
)

KNOWN, BETWEEN = RunLife("K", 340, 340), RunLife("B", 320, 340, "shaves")
OVER, UNDER = RunLife("O", 150, inf, "shaves"), RunLife("U", 0, 20, "shaves")
NOTHING = RunLife("N", 0, inf, "shaves", told=False)


@pytest.mark.parametrize(
    ("life", "words", "summary"),
    [
        (KNOWN, "340", "K: 340 cuts"),
        (BETWEEN, "320 to 340", "B: left 'shaves' between 320 and 340 cuts"),
        (OVER, "over 150", "O: still 'shaves' after 150 cuts"),
        (UNDER, "under 20", "U: left 'shaves' between 0 and 20 cuts"),
        (RunLife("M", 150, inf), "over 150", "M: over 150 cuts"),
    ],
)
def test_a_life_in_words(life, words, summary):
    assert life.life.words() == words
    assert life.summary() == summary


def test_where_nothing_is_known_no_life_is_told():
    assert NOTHING.life is None
    assert NOTHING.summary() == "N: no life for 'shaves'"
    assert RunLife("N", 0, inf, told=False).summary() == "N: no life"
    assert NOTHING.to_dict()["life"] is None
    assert NOTHING.to_dict()["grade"] == "shaves"
    assert KNOWN.to_dict()["grade"] is None
    assert KNOWN.to_dict()["life"]["cuts"] == 340


def test_a_life_is_known_where_its_ends_meet_and_stopped_where_one_is_open():
    assert NotedLife(5, 5).cuts == NotedLife(5, 5).read_cuts == 5
    assert isnan(NotedLife(5, 6).cuts)
    assert [NotedLife(5, high).censored for high in (5, 6, inf)] == [False, False, True]
    assert OVER.to_dict()["high"] is None
    assert NotedLife(5, 6).to_dict() == {
        "cuts": None, "low": 5, "high": 6, "extrapolated": False, "censored": False,
    }  # fmt: skip


def test_ends_in_logs_and_their_means():
    assert log_ends(BETWEEN) == (log(320), log(340))
    assert log_ends(OVER) == (log(150), inf)
    assert log_ends(UNDER) == (-inf, log(20))
    assert all(map(isnan, log_ends(NOTHING)))
    assert log_ends(RunLife("one", 1, 1)) == (0.0, 0.0)
    low, high = mean_ends([KNOWN, BETWEEN, NOTHING])
    assert (low, high) == pytest.approx(((340 * 320) ** 0.5, 340))
    assert mean_ends([KNOWN, OVER])[1] == inf
    assert mean_ends([KNOWN, UNDER])[0] == 0.0
    assert mean_ends([RunLife("a", 1, 1), RunLife("b", 1, exp(2))]) == pytest.approx((1.0, exp(1)))


def test_columns_for_a_comparison():
    lives = noted_lives([KNOWN, OVER], blade=["K", "O"], treatment=["A", "B"])
    assert lives.log_low == [log(340), log(150)]
    assert lives.log_high == [log(340), inf]
    assert lives.treatment == ["A", "B"]


def test_lives_of_a_study():
    lives = RunLives((KNOWN, OVER), "")
    assert lives.limit is None
    assert RunLives((OVER,), "shaves").limit == "shaves"
    assert lives.lines() == ["K: 340 cuts", "O: still 'shaves' after 150 cuts"]
    assert lives.summary().split("\n") == lives.lines()
    assert lives.to_dict()["together"] is None
    assert [isnan(x.residual_cv) for x in lives.blades] == [True, True]
    assert nan not in lives.to_dict()["blades"][0].values()
