"""A hand that misses more on one day than on another: its strokes count for less there."""

from edgetest.doubts import Where, doubt
from edgetest.stats.even_rates import p_of_one_rate
from edgetest.study.words import counted, listed

SELDOM = 0.05  # below it days miss unlike; our choice


def misses_by_day(pieces):
    """The doubt, one or none, that near misses differ from day to day by more than chance.

    Parameters
    ----------
    pieces : sequence of Severing
        Those whose near misses or day nobody noted tell nothing of it.

    Yields
    ------
    Doubt
    """
    days = dict.fromkeys(one.day for one in pieces if one.day and one.near_misses is not None)
    missed, made = dict.fromkeys(days, 0), dict.fromkeys(days, 0.0)
    for one in pieces:
        if one.day in days and one.near_misses is not None:
            missed[one.day] += one.near_misses
            made[one.day] += one.chops
    if len(days) < 2 or not any(missed.values()):
        return
    if p_of_one_rate([*missed.values()], [*made.values()]) >= SELDOM:
        return
    seen = [f"{missed[day]} of {counted(round(made[day]), 'stroke')} on {day}" for day in days]
    worst = max(days, key=lambda day: missed[day] / made[day])
    yield doubt("misses_by_day", seen=listed(seen), where=Where(value=worst))
