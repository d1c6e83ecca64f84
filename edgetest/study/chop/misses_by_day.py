"""A hand that misses more on one day than on another: its strokes count for less there."""

from collections import defaultdict

from edgetest.doubts import Where, doubt
from edgetest.stats.even_rates import p_of_one_rate
from edgetest.study.words import counted, listed

SELDOM = 0.05  # below it days miss unlike; our choice


def misses_by_day(pieces):
    """The doubt, one or none, that near misses differ from day to day by more than chance.

    Each day's are held against what its tools miss on all days together: a tool that misses more
    and was used on one day alone is no tired hand.

    Parameters
    ----------
    pieces : sequence of Severing
        Those whose near misses or day nobody noted tell nothing of it.

    Yields
    ------
    Doubt
    """
    missed, made, usual = _by_day(
        [one for one in pieces if one.day and one.near_misses is not None]
    )
    told = [day for day in usual if usual[day] > 0]
    if len(told) < 2:
        return
    if p_of_one_rate([missed[day] for day in told], [usual[day] for day in told]) >= SELDOM:
        return
    seen = [f"{missed[day]:g} of {counted(round(made[day]), 'stroke')} on {day}" for day in made]
    worst = max(told, key=lambda day: missed[day] / usual[day])
    yield doubt("misses_by_day", seen=listed(seen), where=Where(value=worst))


def _by_day(pieces):
    """Near misses, strokes, and near misses as its tools have them on all days, by day."""
    missed: dict[str, float] = defaultdict(float)
    made, usual = missed.copy(), missed.copy()
    for blade in dict.fromkeys(one.blade for one in pieces):
        own = [one for one in pieces if one.blade == blade]
        rate = sum(one.near_misses for one in own) / sum(one.chops for one in own)
        for one in own:
            missed[one.day] += one.near_misses
            made[one.day] += one.chops
            usual[one.day] += rate * one.chops
    return missed, made, usual
