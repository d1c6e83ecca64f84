"""Does a trial's row say one thing, of an edge that was worn?"""

from typing import Protocol

from edgetest.steel.tried_blades import EDGED
from edgetest.store.checking import refuse
from edgetest.study.steel.row_kinds import life_ratio_seen


class TrialTyped(Protocol):
    """A trial as it is typed."""

    hardness: tuple
    hardness_skin: tuple
    hardness_below: tuple
    exclude: str
    test: str
    result: str | None
    edge: str | None
    life_ratio: float | str | None
    hit: str
    poor_edge: str


def refuse_unlike(row: TrialTyped) -> None:
    """Refuse a trial that says nothing, two unlike things, or what hurt an edge that none hurt.

    Raises
    ------
    ValueError
        As a fault of the record.
    """
    if row.hardness or row.hardness_skin or row.hardness_below:
        raise refuse("a trial has no hardness", "write it into the heat or the temper")
    if row.exclude:
        raise refuse(
            "exclude leaves out a hardness, and a trial has none",
            "write what hurt the edge as hit, or how it was sharpened as poor_edge",
        )
    if row.hit and (row.edge in (None, "sound") or row.test not in EDGED):
        raise refuse(f"{row.hit} hurt no edge in a chop or on rope", "take hit out")
    if row.poor_edge and row.test not in EDGED:
        raise refuse(f"{row.poor_edge}: no edge was worn in that trial", "take poor_edge out")
    if row.result is None and row.edge is None and row.life_ratio is None:
        raise refuse("this trial says nothing", "add result, edge or life_ratio")
    _refuse_apart(row.result, row.life_ratio)


def _refuse_apart(result: str | None, life_ratio: float | str | None) -> None:
    """Refuse a result that the ratio of lives contradicts."""
    if life_ratio is None:
        return
    ratio, _ = life_ratio_seen(life_ratio)
    if (result == "worse" and ratio >= 1) or (result == "better" and ratio <= 1):
        raise refuse(
            f"it was {result} than the known blade, and lasted {ratio:g} times as long",
            "mend the one that is not so, or leave it out",
        )
