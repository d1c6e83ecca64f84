"""The shop's book in lines: arms, pools and what comes next, each open end said."""

from math import inf, log

import pytest

from edgetest.estimate import Estimate
from edgetest.study.shop.drifts import Drifts
from edgetest.study.shop.shop_result import KnownArm, NextStudy, Pool, ShopBook


def arm(low=1.2, high=1.8, *, ahead=(1.1, 2.0), studies=("s1", "s2"), against="K"):
    ratio = Estimate(1.5, low, high, "times")
    return KnownArm("hard", against, ratio, *ahead, studies, dict.fromkeys(studies, 0.5))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "hard: 1.50 (1.20 to 1.80) times (2 studies); in a next study 1.50 (1.10 to 2.00)"),
        ({"ahead": (0.0, inf)}, "hard: 1.50 (1.20 to 1.80) times (2 studies); of a next study "
                                "nothing is known yet"),
        ({"low": 0.0, "high": inf, "studies": ("s1",)},
         "hard: 1.5 times, seen in 1 study, no interval yet"),
        ({"low": 0.0, "high": inf, "against": "soft"},
         "hard against soft: 1.5 times, seen in 2 studies, no interval yet"),
    ],
)  # fmt: skip
def test_an_arm_is_told_with_what_is_known_of_it(more, said):
    assert arm(**more).summary("K") == said


def test_a_next_study_says_what_it_would_do():
    one = NextStudy("soft", "hard", log(1.5), log(1.2), 0.43)
    assert one.summary() == "hard against soft: ± 50 % now, ± 20 % then; 43 % chance to settle it"
    assert "open now" in NextStudy("soft", "hard", inf, log(1.2), 0.43).summary()


def sd(value, high=None):
    return Estimate(value, 0.9 * value, 2 * value if high is None else high, "")


def pool(**more):
    facts = {
        "protocol": "rope", "reading": "edge_width_um", "studies": ("s1", "s2"),
        "anchor": "control blade K", "arms": (arm(against="control blade K"),), "pairs": (),
        "blade_sd": sd(0.1), "blade_df": 4, "batch_sd": None, "batch_why": "too few",
        "between_sd": sd(0.2), "drifts": Drifts(), "next_studies": (),
    }  # fmt: skip
    return Pool(**facts | more)


def test_a_pool_tells_its_scatters():
    assert pool().facts()[:3] == [
        "Blades of one heat treatment scatter by about 10 % (9 to 20 %).",
        "What batches add cannot be told apart: too few.",
        "From study to study a true ratio differs by about 20 % (18 to 40 %), batches among it.",
    ]
    assert pool(batch_sd=sd(0.3)).facts()[:3] == [
        "Blades of one batch scatter by about 10 % (9 to 20 %).",
        "Batches of one heat treatment differ by about 30 % (27 to 60 %).",
        "From study to study a true ratio differs by about 20 % (18 to 40 %).",
    ]


def test_what_is_not_known_of_a_pool_is_left_out():
    assert pool(blade_df=0).facts()[0].startswith("From study to study")
    assert not any("study to study" in line for line in pool(between_sd=sd(0.2, inf)).facts())
    assert len(pool(studies=("s1",)).facts()) == 3
    assert len(pool().facts()) == 5  # what medium and control do over the years
    assert len(pool(anchor="soft").facts()) == 4
    assert not pool(anchor="soft").controlled


def test_a_pool_is_told_in_its_order():
    lines = pool(pairs=(arm(against="soft"),), next_studies=(NextStudy("a", "b", 1.0, 0.5, 0.2),))
    told = lines.summary().splitlines()
    assert told[:2] == ["rope, edge_width_um: 2 studies", "  Life, times that of control blade K:"]
    assert told[2].startswith("    hard: ")
    assert told[3] == "      weights: s1 50 %, s2 50 %"
    assert told[4] == "  One against the other:"
    assert told[5].startswith("    hard against soft: ")
    assert told[-2] == "  Worth the next rope, 3 blades each:"
    assert told[-1].startswith("    b against a: ")
    bare = pool(studies=("s1",)).summary()
    assert bare.startswith("rope, edge_width_um: 1 study\n")
    assert "One against" not in bare
    assert "next rope" not in bare


def test_the_book_tells_what_was_left_out_and_why():
    assert ShopBook(1, (), {}).summary() == "1 study read"
    assert ShopBook(2, (), {"demo": "its data is invented"}).summary() == (
        "2 studies read\n\nLeft out:\n  demo: its data is invented"
    )
