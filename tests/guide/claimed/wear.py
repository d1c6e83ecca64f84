"""Claims about lives, ratios, verdicts and plans."""

from math import ceil, log, log1p, sqrt

from scipy.stats import norm

from edgetest.app.answers.fit_options import USUAL_MARGIN
from edgetest.study.wear.picture_or_hand import FORCE_DULL
from edgetest.wear.compare.chances import NEXT_BLADE_CAP
from edgetest.wear.compare.compare_lives import ASSUMED_SD
from edgetest.wear.curve.curve_lives import REACH
from tests.guide.claims import Claim
from tests.guide.figures import (
    cell,
    column,
    down,
    holds,
    numbers,
    place,
    row,
    rows,
    table,
    to,
    word,
)


def of_balanced(head):
    """Least and most of a column over studies of equal numbers of blades."""
    found = column("ratio_balanced", head)
    return min(found), max(found)


def sides_of_balanced():
    """The numbers of blades whose intervals cover 95 % to the nearest whole per cent."""
    assert {round(held) for held in of_balanced("coverage")} == {95}
    return tuple(word(ends) for ends in of_balanced("blades"))


def factor_one_roll(blades):
    """The factor beside the chance of studies under one roll."""
    return numbers(row("chance_of_a_ratio", blades)[2])[0]


def pair_in():
    """One pair of alike blades in so many lies 40 % or more apart at a scatter of 15 %."""
    return word(1 / (2 * norm.sf(log(1.4) / (0.15 * sqrt(2)))))


def worlds_held():
    """The worst world's share and studies, and the least of the others."""
    held = column("comparison_worlds", "ratio held, %")
    worst = held.index(min(held))
    others = held[:worst] + held[worst + 1 :]
    return min(held), int(column("comparison_worlds", "studies")[worst]), down(min(others)), 100


def lives_held():
    """Least and most share of lives held, all places of an edge read."""
    told = column("comparison_worlds", "lives held, %") + [
        numbers(each[1])[0] for each in table("life_worlds")[1] if "one_station" not in each[0]
    ]
    return down(min(told)), down(max(told))


def doubted():
    """Right answers that were doubted, and right answers; every spoiled one was doubted."""
    told = table("deciding_doubts")[1]
    assert {numbers(each[6])[0] for each in told} == {100}
    right = [numbers(each[2])[0] for each in told]
    share = [numbers(each[3])[0] / 100 for each in told]
    return word(sum(round(s * n) for s, n in zip(share, right, strict=True))), int(sum(right))


def less_in_a_ratio():
    """How many times less a wrong power moves log ratio than log life: least and most."""
    told = [
        log1p(numbers(each[2])[0] / 100) / log1p(numbers(each[3])[0] / 100)
        for each in table("wrong_power")[1]
        if numbers(each[0])[0] != 2
    ]
    return word(min(told)), word(max(told))


def far_off():
    """A life far beyond the last stage is off by half or more, where the power is far off."""
    far = [abs(numbers(r[2])[0]) for r in rows("wrong_power", _1="0.25") if r[0] in "14"]
    assert min(far) >= 50
    return ()


def looks_of(head):
    """Blades in all, or share of claims, of looks at every blade a side from three to eight."""
    (told,) = rows("looks", _0="groups", _1="3, 4, 5, 6, 7, 8")
    return numbers(told[place("looks", head)])


def blades_of_looks():
    """Blades in all at a ratio of 1.5, those of the whole plan, and both at 1.2."""
    claims, blades, _ = looks_of("1.2")
    assert 45 <= claims <= 55
    return round(looks_of("1.5")[1]), 16, round(blades)


def too_large():
    """A claim from three blades is more than twice too large where differences are small."""
    assert min(column("chances", "too large", rows("chances", _1="0.1", _2="3", _3="mean"))) > 2
    return ()


def doubling(eights):
    """How much less sure doubling stages leave a life, to the next five per cent."""
    found = column("best_stages", "loss", rows("best_stages", _0=eights))
    return int(to(5, min(found))), int(to(5, max(found)))


def checks_often():
    """The steps whose interval is hardly wider; doubling steps make it twice as wide at least."""
    wide = {}
    for _, checks, *_, half in table("ratio_from_checks")[1]:
        wide.setdefault(checks, []).append(float(half))
    assert min(wide["doubling"]) >= 2
    steps = [name for name in wide if name.startswith("every") and max(wide[name]) < 1.05]
    cuts = [numbers(name)[0] for name in steps]
    return int(min(cuts)), int(max(cuts))


def shared_at_best():
    """What is left of the half-width with a control where each roll holds one treatment."""
    told = [
        each
        for each in table("rolls_and_control")[1]
        if "roll each" in each[0] or "BB, AA" in each[0]
    ]
    assert 1 / 3.5 < min(float(each[4]) / float(each[7]) for each in told) < 1 / 2.5
    return ()


def first_by_lot():
    """By lot one of two comes first on each of three rolls in one draw of so many."""
    chance = 2 * 0.5**3
    of, draws = numbers(row("order_table", "3 and 3, 3 rolls")[3])
    assert abs(of / draws - chance) < 3 * sqrt(chance * (1 - chance) / draws)
    return word(1 / chance)


def proves():
    """Hits in a row whose exact bound lies above 95 %, with 95 % confidence."""
    return ceil(log(0.05) / log(0.95))


def one_place():
    """Lives of the whole edge that one place held, of 100."""
    return down(cell("life_worlds", "lives held", "power_one_station_n3"))


CLAIMS = (
    Claim(
        "README",
        "Its interval covers what it claims for {} to {} blades a side in simulation",
        sides_of_balanced,
    ),
    Claim(
        "why/blades_are_the_replicates",
        "held the truth in only {:.0f} to {:.0f} % of them",
        lambda: of_balanced("stations as blades"),
    ),
    Claim(
        "why/blades_are_the_replicates",
        "With blades as the replicates it held in {:.0f} %",
        lambda: max(round(held) for held in of_balanced("coverage")),
    ),
    Claim(
        "why/blades_are_the_replicates",
        "blades of one heat treatment differ by 10 %. With two of each, the interval reaches "
        "up and down by a factor of {:.2f}. With three it is {:.2f}, with five {:.2f}, with ten "
        "{:.2f}",
        lambda: tuple(factor_one_roll(blades) for blades in ("2", "3", "5", "10")),
    ),
    Claim(
        "why/blades_are_the_replicates",
        "may last {:.0f} % longer",
        lambda: 100 * ASSUMED_SD,
    ),
    Claim(
        "why/one_lucky_test",
        "if blades of one heat treatment differ by 15 %, about one pair of identical treatments "
        "in {} shows a gap of 40 % or more",
        pair_in,
    ),
    Claim(
        "why/one_lucky_test",
        "All looks together then stay near {:.0f} %",
        lambda: max(column("looks", "false claims")),
    ),
    Claim(
        "why/one_lucky_test",
        "One look at a 95 % interval is wrong in {:.0f} of 100 tests",
        lambda: cell("peeking", "false claims", "12 alone"),
    ),
    Claim("why/one_lucky_test", "typically more than twice too large", too_large),
    Claim(
        "why/one_lucky_test",
        "Ten blades of each, 10 % apart, manage it in {:.0f} of 100 tests",
        lambda: cell("verdicts", "no relevant difference", "10", "1"),
    ),
    Claim(
        "why/one_lucky_test",
        "Looks at every number of blades from two to twelve claim a difference in {:.0f} of 100",
        lambda: cell("peeking", "false claims", "2 to 12"),
    ),
    Claim(
        "how_to/when_it_cannot_tell",
        "That finds a difference in up to {:.0f} of 100 tests where there is none",
        lambda: max(column("peeking", "false claims")),
    ),
    Claim("why/what_a_life_is", "may be off by half or more", far_off),
    Claim("why/what_a_life_is", "two lives suffers {} to {} times less", less_in_a_ratio),
    Claim("tables/wrong_power", "of two lives {} to {} times less than a life", less_in_a_ratio),
    Claim(
        "why/what_a_photograph_cannot_say",
        "Where the cutting force has doubled",
        lambda: holds(FORCE_DULL == 2),
    ),
    Claim("why/what_a_life_is", "up to {} times your last cuts", lambda: REACH),
    Claim(
        "why/what_an_interval_covers",
        "held the truth in {} % of {:,} tests, in the others in {} to {} %",
        worlds_held,
    ),
    Claim(
        "why/what_an_interval_covers", "single blades held in {} to {} %", lives_held
    ),
    Claim(
        "why/what_an_interval_covers", "life of the whole edge in {} of 100 cases", one_place
    ),
    Claim(
        "why/what_an_interval_covers",
        "every spoiled answer was doubted, and so were {} of {} right ones",
        doubted,
    ),
    Claim(
        "how_to/look_before_the_end",
        "a ratio of 1.5, you need about {} blades in all in place of {}. At 1.2 it takes {}, and "
        "half the tests show it",
        blades_of_looks,
    ),
    Claim(
        "how_to/plan_a_test", "with {} stages the life comes out {} to {} % less sure",
        lambda: ("eight", *doubling("8")),
    ),
    Claim("how_to/plan_a_test", "(else {:.0f} % is assumed)", lambda: 100 * ASSUMED_SD),
    Claim("how_to/plan_a_test", "'A quarter longer' is a ratio of {}", lambda: 1 + 1 / 4),
    Claim(
        "how_to/read_a_comparison",
        "A difference below {} % of life counts as none",
        lambda: USUAL_MARGIN,
    ),
    Claim(
        "how_to/read_a_comparison",
        "the {:.0f} % interval lies within the margin",
        lambda: 100 * (1 - 2 * (1 - 0.95)),  # two one-sided tests of 95 %
    ),
    Claim(
        "how_to/read_a_comparison",
        "{:.0f} % at most with three blades of each",
        lambda: 100 * (1 - NEXT_BLADE_CAP / (3 + 3 - 2)),
    ),
    Claim(
        "how_to/use_grades_and_noted_lives",
        "Checks every {} to {} cuts of a life of 200 cost almost nothing; doubling steps make the "
        "interval at least twice as wide",
        checks_often,
    ),
    Claim(
        "how_to/share_rolls_and_batches",
        "one comes first on every roll in one draw of {}",
        first_by_lot,
    ),
    Claim(
        "how_to/share_rolls_and_batches",
        "which cuts the interval to a third at best",
        shared_at_best,
    ),
    Claim(
        "how_to/help_us_check",
        "It takes {} in a row to prove 95 %, with 95 % confidence",
        proves,
    ),
)  # fmt: skip
