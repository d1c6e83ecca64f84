"""Claims of the reference's pages of methods: what they say was measured."""

from itertools import product
from math import asin, ceil, degrees, sqrt

import numpy as np

from edgetest.photo.apex.apex_light import WORST, leaning_sine
from edgetest.steel.carburised_case import SAMPLE_STEPS
from edgetest.steel.diffusion import diffusivity, plate_grid
from edgetest.steel.heat_schedule import run_schedule
from edgetest.steel.pack import AS_PUBLISHED
from tests.benchmarks.case_speed import SCHEDULE
from tests.benchmarks.chop_worlds.shop_kinds import KINDS
from tests.benchmarks.steel_bounds import coupon_worth
from tests.guide.claimed.steel import errors
from tests.guide.claims import Claim
from tests.guide.figures import cell, column, numbers, row, table, to, word
from tests.guide.tables import tables
from tests.study.steel.written_cases import MINE, OTHERS

PAGE = "reference/methods"


def grey_steps():
    """Edges measured on curves of grey steps, of how many, half-width and share held."""
    _, met, _, _, held, half, _ = row("width_grey_steps", "any camera of the family")
    measured, bound, refused = (int(each) for each in numbers(met))
    return measured, measured + bound + refused, numbers(half)[0], numbers(held)[0]


def joined_wrong():
    """No join of any sequence is wrong."""
    assert set(column("sequences_joined", "wrong joins")) == {0}
    return ()


def shining():
    """Cases, root mean square and worst error of the lean at which a crest still shines."""
    _, cases, rms, worst = row("shining_lean", "all")
    off = max(abs(each) for each in numbers(worst))
    assert off == 100 * WORST
    return int(cases), numbers(rms)[0], off


def leans():
    """How far polished steel may lean under a narrow lens, degrees."""
    return degrees(asin(leaning_sine(0.10, 0.01)))


def chance_error():
    """Mean error of a chance over the ten bins of pieces drawn from the tables."""
    claimed, true, pieces = (
        np.array(column("steel_own_chances", head)) for head in table("steel_own_chances")[0]
    )
    assert set(pieces) == {sum(pieces) / 10}
    assert abs(np.mean(np.abs(claimed - true)) - 0.011) < 0.0015  # the table has two digits
    return int(sum(pieces)), 0.011


def luck():
    """Mean error that 2,000 pieces in ten bins make by luck alone, to a hundredth."""
    world = np.array([numbers(each[1])[0] for each in table("steel_calibration")[1]])
    sd = np.sqrt(world * (1 - world) / 200)
    return to(0.01, float(np.mean(sd) * sqrt(2 / np.pi)))


def forty():
    """Hours that knowing each steel would take, what the goal leaves, what goes into tests."""
    knowing, tests = (
        cell("steel_hours", head, "40") for head in ("knowing each steel", "of it tests")
    )
    return knowing, 60 - knowing, tests


def four():
    """Hours above known steel in some worlds, below it in the others, with four blades."""
    told = [numbers(each[2]) for each in table("steel_hours_worlds")[1]]
    over, under = ([each for each in told if (each[0] > 8) is more] for more in (True, False))
    assert all(hours - 8 <= error for hours, error in over)
    (more,) = {round(hours - 8, 1) for hours, _ in over}
    less = [round(8 - hours, 1) for hours, _ in under]
    return more, word(len(over)), min(less), max(less), word(len(less))


def time_steps():
    """How far the steps of the samples lie from 400 of them at most, % carbon, of 1e-4."""
    off = []
    for name, thickness_mm in product(("agren", "tibbetts"), (1.0, 6.0)):
        draws, _ = AS_PUBLISHED.draw(20, np.random.default_rng(1), 0.2, 0.02)
        few, many = (
            run_schedule(diffusivity(name), SCHEDULE, plate_grid(thickness_mm, 200), draws, steps)
            for steps in (SAMPLE_STEPS, 400)
        )
        off.append(np.abs(few - many).max())
    return ceil(1e4 * max(off))


def worth():
    """The case after eight hours by the published sets, and with one coupon of the pack."""
    published, own = coupon_worth()
    return tuple(
        number for each in (published, own) for number in (each.value, each.low, each.high)
    )


def turned_to_known():
    """How many headlines turn from using the steel to leaving it."""
    return word(
        cell("steel_numbers", table("steel_numbers")[0][1], "turns from reuse to leave or back")
    )


CLAIMS = (
    Claim(
        PAGE,
        "{} edges of {} were measured on such curves; the median half-width was {:.2f} % and "
        "{:.1f} % of the intervals held the truth",
        grey_steps,
    ),
    Claim(PAGE, "or where there is no common part. None was wrong.", joined_wrong),
    Claim(
        PAGE,
        "In {} cases, apertures 0.02 to 0.28, slopes 0.01 to 0.20, it errs by {} % (root mean "
        "square), {} % at worst",
        shining,
    ),
    Claim(PAGE, "| 0.10 | {:.1f}° |", leans),
    Claim(
        PAGE,
        "tables themselves, {:,}, seen as a maker sees them: the mean error of a chance, "
        "over ten equal bins, is {}",
        chance_error,
    ),
    Claim(
        PAGE,
        "Without any mistake {:.0f} h would be spent, so the goal leaves {:.0f} h for every "
        "test; {} h go into tests",
        forty,
    ),
    Claim(PAGE, "Some {} of each error is the luck of so few pieces", luck),
    Claim(PAGE, "Ten pieces leave {:.3f} to {:.3f}", lambda: errors("error after 10")),
    Claim(PAGE, "five {:.3f} to {:.3f}.", lambda: errors("error after 5 settled pieces")),
    Claim(
        PAGE,
        "With four blades that costs {} h more than known steel in {} worlds, within their "
        "errors, and {} to {} h less in {}",
        four,
    ),
    Claim(
        PAGE,
        "Each row is {:,} studies. Where blades differ by 25 %, five of each hold {:.1f} %",
        lambda: (
            int(tables()["chop_treatments"].front["command"].split()[-1]),
            100 * cell("chop_treatments", "ratio", "5", "25%"),
        ),
    ),
    Claim(PAGE, "{} kinds of shop were written", lambda: word(len(KINDS)).capitalize()),
    Claim(PAGE, "Most of this project's {} were read", lambda: len(MINE)),
    Claim(PAGE, "Of the {} that somebody else wrote", lambda: len(OTHERS)),
    Claim(PAGE, "The {} turn from one trial blade to known steel", turned_to_known),
    Claim(
        PAGE,
        "narrows the case after 8 h from {:.2f} ({:.2f} to {:.2f}) to {:.2f} ({:.2f} to {:.2f}) mm",
        worth,
    ),
    Claim(PAGE, "the steps in time are within {}e-4 % carbon of those of 400 steps", time_steps),
)
