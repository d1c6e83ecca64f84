"""What is the next coupon or trial blade of a piece called, where no name was given yet?"""

import re
from itertools import count

from edgetest.steel.steel_seen import BLADE_NAME
from edgetest.study.steel.steel_result import SteelResult
from edgetest.study.steel.steel_rows import ONLY_COUPON

_NUMBERED = re.compile(r"(\D{0,2})\d+")  # a coupon's short mark with its number; our choice


def new_coupon(result: SteelResult) -> str:
    """The next number of the piece's coupons, as T2 after T1; else a name that is free."""
    own = [h.coupon for h in result.noted.heats if h.piece == result.asked.piece]
    coupons = [name for name in own if not name.casefold().startswith(BLADE_NAME)]
    numbered = [found for name in coupons if (found := _NUMBERED.fullmatch(name))]
    return next_name(result, numbered[0][1] if numbered else "coupon")


def first_or_new(result: SteelResult) -> str:
    """The name of a fresh coupon: the usual one of a piece's first, else the next that is free.

    The one that the step names, where it names one.
    """
    if result.asked.decision.of:
        return result.asked.decision.of[0]
    own = any(heat.piece == result.asked.piece for heat in result.noted.heats)
    return new_coupon(result) if own else ONLY_COUPON


def next_name(result: SteelResult, kind: str) -> str:
    """The first name of a coupon or trial blade that nothing of the steel has yet.

    Parameters
    ----------
    result : SteelResult
    kind : str
        What the name begins with, before its number.
    """
    taken = {heat.coupon.casefold() for heat in result.noted.heats}
    return next(name for n in count(1) if (name := f"{kind}{n}").casefold() not in taken)
