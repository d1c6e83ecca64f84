"""A change of typed facts in words: where each stands, and what became of it."""

import re
from collections.abc import Iterable, Mapping
from typing import Any

from edgetest.store.history import Change

_BY_NUMBER = re.compile(r"\b(heats|tempers|trials|steps), (0|[1-9][0-9]*)(?=,|$)")  # have no id


def facts_in_words(change: Change) -> str:
    """A change of facts as a person tells it from another."""
    before, after = change.before or {}, change.after or {}
    return "; ".join(_became(place, before.get(place), value) for place, value in after.items())


def _became(place: str, old: Any, new: Any) -> str:
    """One fact and what it was before; of a list of tables only what came and went."""
    entries = [each for side in (old, new) if isinstance(side, list) for each in side]
    where = counted_place(place)
    if not entries or not all(isinstance(each, dict) for each in entries):
        was = "" if _blank(old) or _blank(new) else f"{said_fact(old)} → "
        return f"{where}: {was}{said_fact(new)}"
    return f"{where}: {'; '.join(_came_and_went(old or (), new or ()))}"


def _came_and_went(old: Iterable[Any], new: Iterable[Any]) -> list[str]:
    """Entries of a list that came and those that went, in words; of some alike, each by itself."""
    came = [
        f"{'once more' if each in old else 'new'}: {entry_in_words(each)}"
        for each in _less(new, old)
    ]
    went = _less(old, new)
    return came + [
        f"{'gone once' if each in new else 'gone'}: {entry_in_words(each)}" for each in went
    ]


def _less(entries: Iterable[Any], others: Iterable[Any]) -> list[Any]:
    """Entries of a list without those of another, each of them as often as it stands there."""
    left = list(entries)
    for each in others:
        if each in left:
            left.remove(each)
    return left


def entry_in_words(entry: Mapping[str, Any]) -> str:
    """An entry of a list in words."""
    return ", ".join(
        f"{key} {' '.join(map(str, value)) if isinstance(value, list) else value}"
        for key, value in entry.items()
    )


def counted_place(place: str) -> str:
    """A place as people read it: entries without an id counted from 1, in the file's order."""
    return _BY_NUMBER.sub(lambda met: f"{met[1]} {int(met[2]) + 1}", place)


def _blank(value: Any) -> bool:
    return value in (None, "", [])


def said_fact(value: Any) -> str:
    """A fact in words."""
    if _blank(value):
        return "blank"
    return f'"{value}"' if isinstance(value, str) else str(value)
