"""Where does a row of chopping go beside rows of other blades that are of another date?"""

from collections.abc import Mapping, Sequence
from itertools import takewhile

from edgetest.store.days import calendar_day


def past_others(
    every: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str], place: int | None
) -> int | None:
    """A place, moved up past rows of other blades of a later date that stand right above it."""
    mine, days = calendar_day(cells.get("date", "")), dict(every)
    while place is not None and mine is not None and (met := days.get(place - 1)) is not None:
        day = calendar_day(met.get("date", ""))
        if met.get("blade") == cells.get("blade") or day is None or day <= mine:
            break
        place -= 1
    return place


def past_earlier(
    every: Sequence[tuple[int, dict[str, str]]], cells: Mapping[str, str], place: int | None
) -> int | None:
    """A place, moved down past rows of other blades of an earlier date; None: at the end."""
    mine = calendar_day(cells.get("date", ""))
    if place is None or mine is None:
        return place
    below, moved = [(line, met) for line, met in every if line >= place], place
    for line, met in takewhile(lambda one: one[1].get("blade") != cells.get("blade"), below):
        day = calendar_day(met.get("date", ""))
        if day is not None and day > mine:
            break
        moved = line + 1 if day is not None and day < mine else moved
    return None if below and moved > below[-1][0] else moved
