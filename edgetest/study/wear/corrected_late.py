"""Which readings were corrected when every reading stood already, so that the answer was in reach?

The history knows the order of its changes, not who had looked at a curve.
"""

from collections.abc import Sequence

from edgetest.store.history import IN_THE_FILE, Change


def corrected_late(changes: Sequence[Change], reading: str) -> list[Change]:
    """Corrections of a reading behind the last entry of any, none that was taken back.

    Parameters
    ----------
    changes : sequence of Change
        Of a study's history, oldest first.
    reading : str
        Column of the log.
    """
    standing: list[Change] = []
    for change in changes:
        if change.table != "log" or change.what == IN_THE_FILE:
            continue
        if change.what != "undo":
            standing.append(change)
        elif standing:
            standing.pop()
    entered = [
        k
        for k, one in enumerate(standing)
        if one.what == "append" and (one.after or {}).get(reading)
    ]
    late = standing[entered[-1] + 1 :] if entered else []
    return [one for one in late if _changed(one, reading)]


def _changed(change: Change, reading: str) -> bool:
    """Whether one number stands in the place of another."""
    before, after = (cells.get(reading, "") for cells in (change.before or {}, change.after or {}))
    return change.what == "correct" and bool(before and after) and before != after
