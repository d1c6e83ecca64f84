"""Which blades were given another heat treatment or batch in the program once they had been read?

What was changed in study.toml by hand stands in no history.
"""

from collections.abc import Iterator, Sequence

from edgetest.store.history import Change
from edgetest.study.facts.facts_told import said_fact
from edgetest.study.facts.set_facts import TABLE
from edgetest.study.wear.corrected_late import entered

LABELS = {"heat_treatment": "heat treatment", "batch": "batch"}


def relabelled_late(changes: Sequence[Change], reading: str) -> list[str]:
    """A sentence's part for each blade that was named otherwise after its last reading.

    What was blank before says nothing else, and what was taken back counts for nothing.

    Parameters
    ----------
    changes : sequence of Change
        Of a study's history, oldest first.
    reading : str
        Column of the log.
    """
    last = {
        (one.after or {}).get("blade", ""): k
        for k, one in enumerate(changes) if one.table == "log" and entered(one, reading)
    }  # fmt: skip
    return [
        f"{blade}: {LABELS[key]} {said_fact(old)} → {said_fact(new)} ({changes[k].when[:10]})"
        for k in _standing(changes)
        for blade, key, old, new in _relabelled(changes[k])
        if last.get(blade, k) < k
    ]


def _standing(changes: Sequence[Change]) -> list[int]:
    """Places of the changes of facts that were not taken back."""
    standing: list[int] = []
    for k, one in enumerate(changes):
        if one.table == TABLE and one.what != "undo":
            standing.append(k)
        elif one.table == TABLE:
            standing = standing[:-1]
    return standing


def _relabelled(change: Change) -> Iterator[tuple[str, str, object, object]]:
    """Blade, key, old and new of each label that stands in the place of another."""
    for place, new in (change.after or {}).items():
        table, *way = place.split(", ")
        old = (change.before or {}).get(place)
        if table == "blades" and len(way) == 2 and way[1] in LABELS and old and old != new:
            yield way[0], way[1], old, new
