"""Is one reading surely harder than another, or surely hard, or surely soft?"""

from math import hypot, inf

from edgetest.steel.steel_seen import HardnessSeen

# Beyond this and twice the standard uncertainty two readings differ; common practice, no source.
LEAST_GAP_HRC = 3.0
FEEL_U_HRC = 1.0  # of judging one file as skating or biting; common practice, no source
TWO_TESTERS_U_HRC = 1.0  # between a file set and an instrument; common practice, no source
HARD_FROM_HRC = 55.0  # hardened for an edge that is struck; common practice, no source
SOFT_TO_HRC = 50.0  # scrap for edges; the trade's mark, common practice


def low_of(reading: HardnessSeen):
    """The lower end of a reading, HRC; minus infinity where it is open."""
    return -inf if reading.low_hrc is None else reading.low_hrc


def high_of(reading: HardnessSeen):
    """The upper end of a reading, HRC; infinity where it is open."""
    return inf if reading.high_hrc is None else reading.high_hrc


def _u_of(reading):
    return FEEL_U_HRC if reading.by_files else reading.u_hrc


def surely_harder(one: HardnessSeen, other: HardnessSeen):
    """Whether `one` lies above `other` by more than their uncertainty lets them."""
    apart = 0.0 if one.by_files == other.by_files else TWO_TESTERS_U_HRC
    u = hypot(_u_of(one), _u_of(other), apart)
    return low_of(one) - high_of(other) > max(LEAST_GAP_HRC, 2 * u)


def came_higher(one: HardnessSeen, other: HardnessSeen):
    """Whether `one` lies above `other`, surely or not: a file skated that had bitten before.

    A number came higher from the gap on that two readings are seldom apart by alone.
    """
    least = 0.0 if one.by_files and other.by_files else LEAST_GAP_HRC
    return low_of(one) - high_of(other) >= least


def is_hard(reading: HardnessSeen):
    """Whether a reading is of hardened steel; a number by more than its uncertainty."""
    return low_of(reading) - (0.0 if reading.by_files else reading.u_hrc) >= HARD_FROM_HRC


def is_soft(reading: HardnessSeen):
    """Whether a reading is too soft for an edge; a number by more than its uncertainty."""
    return high_of(reading) + (0.0 if reading.by_files else reading.u_hrc) <= SOFT_TO_HRC


def of_place(readings, place):
    """The readings made at one place."""
    return tuple(one for one in readings if one.where == place)


def true_readings(readings):
    """Readings that speak of the steel: below the skin, else no place stated, else the skin."""
    for place in ("below", "not_stated", "skin"):
        found = of_place(readings, place)
        if found:
            return found
    return ()


def comparable(some, others):
    """Readings of two heats that may be held against each other; empty where none may."""
    for place in ("below", "skin"):
        here, there = of_place(some, place), of_place(others, place)
        if here and there:
            return here, there
    here, there = true_readings(some), true_readings(others)
    if here and there and {here[0].where, there[0].where} != {"skin", "below"}:
        return here, there
    return (), ()


def all_harder(some, others):
    """Whether every reading of `some` lies surely above every one of `others`; False if empty."""
    return bool(some and others) and all(surely_harder(a, b) for a in some for b in others)


def is_true_soft(heat):
    """Whether a heat came out soft below the skin."""
    below = of_place(heat.hardness, "below")
    return bool(below) and all(map(is_soft, below))
