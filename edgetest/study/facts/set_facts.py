"""How do typed facts reach study.toml: whole or not at all, in the history, and back again?

A change starts from what stands on disk. What another device changed meanwhile stays; where
both changed the same fact, the later one is refused with both versions.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from copy import deepcopy
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.checking import parse_toml
from edgetest.store.files import append_json_line, locked, write_atomic
from edgetest.store.history import HISTORY_FILE, Change, read_history
from edgetest.store.records import STUDY_FILE, Study, study_of
from edgetest.store.toml_edit import edited
from edgetest.study.chop.handling import handling_of, shapes_of
from edgetest.study.facts.facts_told import counted_place, said_fact

_NUMBER = re.compile("0|[1-9][0-9]*")
TABLE = "study"  # of these changes in the history
Card = tuple[str | int, ...]  # where a table stands: ("blades", "K1"), ("handling", "H1")


def facts_at(folder: str | Path, card: Card) -> dict[str, Any]:
    """The facts of one table as they are written; keys of a table in it with a dot between."""
    return _flat(_reach(_tables(_text(folder)), card) or {})


def set_facts(
    folder: str | Path,
    card: Card,
    was: Mapping[str, Any],
    wishes: Mapping[str, Any],
    *,
    check: Callable[[Study], object] | None = None,
) -> Change | None:
    """Put facts in the place of those shown; on disk, and in the history, when this returns.

    Parameters
    ----------
    folder : str or Path
    card : tuple
        Where their table stands: names, ids of list entries, or numbers of entries without id.
    was, wishes : mapping
        By key: as the page showed them, and as they shall be; None takes one out.
    check : callable, optional
        Looks at the study as it would be; what it raises leaves the file alone.

    Returns
    -------
    Change or None
        As the history keeps it; None where all of it stands there already.

    Raises
    ------
    UnusableInput
        Naming both versions of what was changed elsewhere too, or every fault that the study
        would have; nothing is written then.
    """
    with locked(folder):
        text = _text(folder)
        old = _tables(text)
        now = _flat(_reach(old, card) or {})
        wishes = {key: value for key, value in wishes.items() if now.get(key) != value}
        if not wishes:
            return None
        twice = [key for key in wishes if now.get(key) != was.get(key)]
        if twice:
            raise UnusableInput(
                "; ".join(
                    f"{key} is now {said_fact(now.get(key))}, not {said_fact(wishes[key])}"
                    for key in twice
                ),
                f"{STUDY_FILE}, {counted_place(_name(card))}",
                "look at it as it is now, then type it again",
            )
        new = deepcopy(old)
        for key, value in wishes.items():
            _put(new, (*card, *key.split(".")), value)
        before = {key: now.get(key) for key in wishes}
        change = _change(card, before, wishes)
        _write(folder, text, old, new, change, check)
        return change


def add_entry(
    folder: str | Path,
    card: Card,
    entry: Mapping[str, Any],
    *,
    above: int | None = None,
    check: Callable[[Study], object] | None = None,
) -> Change:
    """Put an entry into a list of tables: a blade, a step, a part.

    Parameters
    ----------
    folder, card
        As `set_facts`; the card is the list's.
    entry : mapping
    above : int, optional
        Number of the entry, from 0, that it comes before; behind all, if not given.
    check : callable, optional
        Looks at the study as it would be; what it raises leaves the file alone.

    Returns
    -------
    Change
        As the history keeps it.

    Raises
    ------
    UnusableInput
        As `set_facts`.
    """
    with locked(folder):
        text = _text(folder)
        old = _tables(text)
        new = deepcopy(old)
        there = _reach(new, card)
        more = list(there or ())
        more.insert(len(more) if above is None else above, dict(entry))
        _put(new, card, more)
        change = _change(card, {"": there}, {"": more})
        _write(folder, text, old, new, change, check)
        return change


def take_entry(
    folder: str | Path,
    card: Card,
    number: int,
    *,
    was: Mapping[str, Any] | None = None,
    check: Callable[[Study], object] | None = None,
) -> Change:
    """Take an entry out of a list of tables.

    Parameters
    ----------
    folder, card
        As `add_entry`.
    number : int
        Of the entry, from 0.
    was : mapping, optional
        The entry as it was shown: another one is not taken out in its place.
    check : callable, optional
        Looks at the study as it would be; what it raises leaves the file alone.

    Returns
    -------
    Change
        As the history keeps it.

    Raises
    ------
    UnusableInput
        As `set_facts`.
    """
    with locked(folder):
        text = _text(folder)
        old = _tables(text)
        new = deepcopy(old)
        there = _reach(new, card) or []
        if was is not None and there[number : number + 1] != [was]:
            where = f"{STUDY_FILE}, {counted_place(_name((*card, number)))}"
            raise UnusableInput(
                "the row is no longer there", where, "look at it as it is now, then take it out"
            )
        kept = [entry for k, entry in enumerate(there) if k != number]
        _put(new, card, kept or None)
        change = _change(card, {"": there}, {"": kept or None})
        _write(folder, text, old, new, change, check)
        return change


def last_facts(folder: str | Path) -> Change | None:
    """The change of facts that `undo_facts` would take back."""
    standing: list[Change] = []
    for change in read_history(folder):
        if change.table == TABLE and change.what == "undo":
            standing = standing[:-1]
        elif change.table == TABLE:
            standing.append(change)
    return standing[-1] if standing else None


def undo_facts(folder: str | Path, shown: Change) -> None:
    """Take back the last change of facts, if it is the one that was shown and still stands.

    Raises
    ------
    UnusableInput
        If another change came after it, or the fact has been changed by hand since.
    """
    with locked(folder):
        last = last_facts(folder)
        if last is None or last != shown:
            raise UnusableInput(
                "another change came after it", STUDY_FILE, "look at the last change first"
            )
        text = _text(folder)
        old = _tables(text)
        new = deepcopy(old)
        for place, value in (last.before or {}).items():
            way = _way(place)
            stands = _reach(old, way)
            if _plain(stands) != (last.after or {}).get(place):
                raise UnusableInput(
                    f"it was changed to {said_fact(stands)} since", f"{STUDY_FILE}, {place}",
                    "type there what it shall be",
                )  # fmt: skip
            _put(new, way, value)
        _write(folder, text, old, new, Change("undo", TABLE, 0, last.after, last.before, _now()))


def _text(folder) -> str:
    return (Path(folder) / STUDY_FILE).read_bytes().decode("utf-8")


def _tables(text: str) -> dict[str, Any]:
    return tomllib.loads(text.removeprefix("\ufeff"))


def _write(folder, text, old, new, change, check=None) -> Study:
    """The file with its tables changed, if the study can be opened with them; then the history."""
    whole = edited(text, old, new)
    folder = Path(folder)
    made = study_of(parse_toml(whole, STUDY_FILE), folder)
    handling_of(made)
    shapes_of(made)
    if check is not None:
        check(made)
    write_atomic(folder / STUDY_FILE, whole)
    append_json_line(folder / HISTORY_FILE, vars(change))
    return made


def _change(card: Card, before: Mapping[str, Any], after: Mapping[str, Any]) -> Change:
    """A change for the history, each fact by its place."""
    first, then = (
        {_name((*card, *_keys(key))): _plain(value) for key, value in side.items()}
        for side in (before, after)
    )
    return Change("facts", TABLE, 0, first, then, _now())


def _keys(key: str) -> Iterable[str]:
    return key.split(".") if key else ()


def _name(card: Card) -> str:
    """A place in words; ids hold no comma."""
    return ", ".join(map(str, card))


def _way(name: str) -> Card:
    # An id such as "007" stays the id that it is.
    return tuple(int(p) if _NUMBER.fullmatch(p) else p for p in name.split(", "))


def _flat(table: Mapping[str, Any]) -> dict[str, Any]:
    """Plain facts of a table, and of the tables in it under both names."""
    found: dict[str, Any] = {}
    for key, value in table.items():
        if isinstance(value, dict):
            found |= {f"{key}.{inner}": each for inner, each in value.items()}
        else:
            found[key] = value
    return found


def _entry(entries: list, part: str | int) -> int | None:
    """Number of a list's entry by its id, else by its number."""
    for number, entry in enumerate(entries):
        if isinstance(entry, dict) and str(entry.get("id", "")) == str(part):
            return number
    return part if isinstance(part, int) and part < len(entries) else None


def _reach(table: Any, way: Card) -> Any:
    """What stands at a place; None where nothing does."""
    for part in way:
        if isinstance(table, list):
            number = _entry(table, part)
            table = None if number is None else table[number]
        else:
            table = table.get(str(part)) if isinstance(table, dict) else None
    return table


def _put(table: Any, way: Card, value: Any) -> None:
    """Set one place, or take it out; tables that are empty then go with it."""
    part, *rest = way
    if isinstance(table, list):
        number = _entry(table, part)
        if number is None:
            raise UnusableInput(f'there is no "{part}" any more', STUDY_FILE, "load the page again")
        if rest:
            _put(table[number], tuple(rest), value)
        elif value is None:
            del table[number]
        else:
            table[number] = value
        return
    part = str(part)
    if rest:
        inner = table.setdefault(part, {})
        _put(inner, tuple(rest), value)
        if inner == {}:
            del table[part]
    elif value is None:
        table.pop(part, None)
    else:
        table[part] = value


def _plain(value: Any) -> Any:
    """A fact as the history can hold it: TOML has dates and times, JSON has none."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return value.isoformat() if isinstance(value, date | time) else value


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
