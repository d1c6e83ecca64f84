"""Claims about strokes, chips, woods and the swing."""

from math import log

from edgetest.chop.as_chopped import SAME_SIZE
from edgetest.chop.count_design import HARDNESS_EXPONENT
from edgetest.chop.reckoned import DEPTH_POWER, NO_NOTCH
from edgetest.chop.wood import SD_LOG_NAMED
from tests.guide.claims import Claim
from tests.guide.figures import column, numbers, row, rows, word


def ratio_open(billets):
    """Factor by which some pieces each leave the ratio of two tools open, by default."""
    return numbers(row("chop_ratio", "billets differ by 15 %", billets)[4])[1]


def pieces_for_blades():
    """Pieces counted as blades hold half the time where blades differ by a quarter."""
    held = column("chop_treatments", "billets taken for blades", rows("chop_treatments", _1="25%"))
    assert all(0.45 < share < 0.55 for share in held)
    return ()


def nearly_three():
    """One piece each."""
    assert 2.75 < ratio_open("1") < 3
    return ()


def none_seen(exposure):
    """Upper bound of a rate with none seen, 95 % on its one side."""
    return -log(0.05) / exposure


def miscounted():
    """What one swing miscounted in twenty does to the square of the period, at the least."""
    return 100 * min((20 / 19) ** 2 - 1, 1 - (20 / 21) ** 2)


CLAIMS = (
    Claim("why/why_strokes_vary", "open by a factor of nearly three", nearly_three),
    Claim(
        "why/why_strokes_vary",
        "Three each bring it to {:.1f} or so, ten to {:.1f}",
        lambda: (ratio_open("3"), ratio_open("10")),
    ),
    Claim(
        "why/why_strokes_vary",
        "your 95 % interval holds only half the time when blades differ by a quarter",
        pieces_for_blades,
    ),
    Claim(
        "why/why_strokes_vary",
        "None seen on 110 mm of edge means fewer than {:.1f} per 100 mm, with 95 % confidence",
        lambda: none_seen(110 / 100),
    ),
    Claim(
        "why/why_strokes_vary",
        "None in 100 strokes means fewer than {} in 100",
        lambda: word(none_seen(1)),
    ),
    Claim(
        "why/why_strokes_vary",
        "to a power of about {}, and with hardness to a power of about {}",
        lambda: (DEPTH_POWER[0], HARDNESS_EXPONENT[0]),
    ),
    Claim(
        "why/why_strokes_vary",
        "Boards of one species differ by about {:.0f} % in hardness (from memory)",
        lambda: 100 * SD_LOG_NAMED,
    ),
    Claim(
        "how_to/chop_test_a_hatchet",
        "Sticks within {} % share a mean",
        lambda: round(100 * (SAME_SIZE - 1)),
    ),
    Claim(
        "reference/methods",
        "Pieces of one wood and size whose mean is {} strokes or fewer opened no notch",
        lambda: word(NO_NOTCH),
    ),
    Claim(
        "how_to/time_the_swing",
        "One swing miscounted in 20 moves the answer by {:.0f} % or more",
        miscounted,
    ),
)
