"""Tools that several tests of choppers handle: a camp knife drawn, hung as a pendulum, or given."""

import numpy as np

from edgetest.chop.balance import Hold, balance_of
from edgetest.chop.pendulum import SwingTest, measured_balance
from edgetest.chop.tool_outline import Grind, Part, outline

GRAVITY = 9.80665
HOLD = Hold(60.0, 310.0)
UNGROUND = Grind(share=0)


def camp_knife(**options):
    given = {
        "grind": Grind(edge_mm=0.5, from_mm=130),
        "parts": (Part("scales", 60, 5, 115),),
        **options,
    }
    return outline(
        [0, 110, 130, 330, 400], [22, 28, 38, 45, 2], [0, 130, 400], [5, 5, 2.5], **given
    )


def swing_seconds(mass, balance_m, inertia, pivot_m, gravity=GRAVITY):
    """Period of a tool of known inertia hung at a pivot."""
    arm = abs(balance_m - pivot_m)
    return 2 * np.pi * np.sqrt((inertia + mass * arm**2) / (mass * gravity * arm))


# A camp knife: 520 g, balance 165 mm from the butt, 72 kg cm² about it, 400 mm long.
KNIFE = {"mass": 0.520, "balance_m": 0.165, "inertia": 0.0072}


def knife(*, pivot_mm=20.0, grip_mm=60.0, strike_mm=310.0, handle_front_mm=None):
    seconds = 20 * swing_seconds(**KNIFE, pivot_m=pivot_mm / 1000)
    test = SwingTest(520, 165, pivot_mm, [seconds] * 3, 20)
    hold = Hold(grip_mm, strike_mm, handle_front_mm, length_mm=400.0)
    return measured_balance(test, hold, rng=np.random.default_rng(0))


def drawn(source, shift=0.0):
    rng = np.random.default_rng(1)
    best = np.array([0.52, 0.165 + shift, 0.0072])
    draws = best[:, None] * (1 + 0.005 * rng.standard_normal((3, 4000)))
    places = np.full((2, 4000), [[0.060], [0.310]])
    return balance_of(best, np.vstack([draws, places]), Hold(60, 310), source=source)
