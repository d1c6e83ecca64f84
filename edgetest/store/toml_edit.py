"""A TOML text changed in place: only the keys concerned, every other byte as it was.

The text is cut into headings, keys with their values, and comments; what is not concerned is
put back as it is, so no table can move. Within one value `tomlkit` keeps comments and blanks.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any, NamedTuple

import tomlkit

from edgetest.errors import UnusableInput
from edgetest.store.files import write_atomic

Place = tuple[str | int, ...]  # ("blades", 0, "note")
_LINE = re.compile(r"[^\n]*\n|[^\n]+")
CANNOT = "the program cannot change this here"
_MARK = "\ufeff"
_LONGEST_LINE = 90
_DEEPEST_BLOCK = 2  # [evidence.pack] has a heading of its own; what lies deeper stands in braces


def edited(text: str, old: dict[str, Any], new: dict[str, Any]) -> str:
    """The text in which the keys that differ between two readings of it are changed.

    Parameters
    ----------
    text : str
        Valid TOML, with any line ends and with or without a byte order mark.
    old, new : dict
        Its tables as they were read, and as they shall be: dicts, lists and plain values. What
        stands in the text alone, such as a key that says what holds anyway, stays.

    Returns
    -------
    str

    Raises
    ------
    UnusableInput
        If the text cannot be brought to say what was asked; the file itself is not at fault.
    """
    if text.startswith(_MARK):
        return _MARK + edited(text.removeprefix(_MARK), old, new)
    if "\r\n" in text and text.count("\r\n") == text.count("\n"):
        return edited(text.replace("\r\n", "\n"), old, new).replace("\n", "\r\n")
    asked = tomllib.loads(text)
    for change in list(_changes(old, new, (), asked)):
        text = _applied(text, change)
        _apply(asked, change)
        if _filled(tomllib.loads(text)) != _filled(asked):
            raise _cannot(change.place)
    return text


def change_toml(
    path: Path,
    change: Callable[[dict[str, Any]], dict[str, Any]],
    *,
    old: dict[str, Any] | None = None,
) -> Path:
    """Read a TOML file, if there is one, and write it with its tables changed.

    `old` stands in for the tables where a record reads them otherwise than they are written.
    """
    text = path.read_bytes().decode("utf-8") if path.is_file() else ""
    old = tomllib.loads(text.removeprefix(_MARK)) if old is None else old
    return write_atomic(path, edited(text, old, change(old)))


class _Change(NamedTuple):
    """One key set or taken out, or one entry put into a list in front of `place`."""

    kind: str
    place: Place
    value: Any = None


@dataclass
class _Block:
    """One table: the comment above its heading, the heading, its keys."""

    place: Place
    lead: str
    heading: str = ""
    keys: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """As it stands in the file."""
        return "".join([self.lead, self.heading, *self.keys])

    def is_in(self, place: Place) -> bool:
        """Whether this is the table at a place, or lies inside it."""
        return self.place[: len(place)] == place

    def may_hold(self, place: Place) -> bool:
        """Whether a key at a place can stand among the keys of this table."""
        return len(self.place) < len(place) and place[: len(self.place)] == self.place


def _changes(old: Any, new: Any, place: Place, written: Any) -> Iterator[_Change]:
    """Every key that differs; a list from its end, so that the indices before keep their sense.

    What is `written` otherwise than it is read, as one number for a list of one, is set whole.
    """
    if isinstance(old, dict) and isinstance(new, dict) and isinstance(written, dict):
        yield from (_Change("out", (*place, key)) for key in old if key not in new)
        for key, value in new.items():
            if key in old:
                there = written.get(key, {} if isinstance(value, dict) else None)
                yield from _changes(old[key], value, (*place, key), there)
            else:
                yield _Change("set", (*place, key), value)
    elif all(isinstance(each, list) and each for each in (old, new, written)) and (
        len(old) == len(written)
    ):
        yield from _entry_changes(old, new, place, written)
    elif old != new or isinstance(old, bool) != isinstance(new, bool):
        yield _Change("set", place, new)


def _entry_changes(old: list, new: list, place: Place, written: list) -> Iterator[_Change]:
    """Entries of a list put in and taken out, its longest common subsequence kept."""
    names = [[_name(entry) for entry in entries] for entries in (old, new)]
    runs = SequenceMatcher(None, names[0], names[1], autojunk=False).get_opcodes()
    for _, i, i_end, j, j_end in reversed(runs):
        both = min(i_end - i, j_end - j)
        yield from (_Change("in", (*place, i + both), e) for e in new[j + both : j_end][::-1])
        yield from (_Change("out", (*place, k)) for k in range(i + both, i_end)[::-1])
        for k in range(both):
            yield from _changes(old[i + k], new[j + k], (*place, i + k), written[i + k])


def _name(entry: Any) -> str:
    """By what an entry of a list is known again: a table by its id, anything else by itself."""
    return str(entry.get("id", entry) if isinstance(entry, dict) else entry)


def _apply(data: Any, change: _Change) -> None:
    """One change made to plain tables: what the text must say after it."""
    last: Any
    *way, last = change.place
    for part in way:
        data = data.setdefault(part, {}) if isinstance(data, dict) else data[part]
    if change.kind == "in":
        data.insert(last, change.value)
    elif change.kind == "set":
        data[last] = change.value
    elif isinstance(data, list) or last in data:
        del data[last]


def _filled(data: Any) -> Any:
    """Tables without the empty ones in them, which a text need not name; lists for tuples."""
    if isinstance(data, list | tuple):
        return [_filled(each) for each in data]
    if not isinstance(data, dict):
        return data
    each = {key: _filled(value) for key, value in data.items()}
    return {key: value for key, value in each.items() if value != {}}


def _cannot(place: Place) -> UnusableInput:
    """The refusal of a change that the program does not manage."""
    where = ", ".join(str(part + 1 if isinstance(part, int) else part) for part in place)
    return UnusableInput(CANNOT, where, "change it in an editor")


def _are_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(e, dict) for e in value)


def _applied(text: str, change: _Change) -> str:
    """The text after one change: in the block that holds the key, or by blocks in or out."""
    blocks = _blocks(text)
    kind, place, value = change
    home = max((b for b in blocks if b.may_hold(place)), key=lambda block: len(block.place))
    path = place[len(home.place) :]
    among_keys = path[0] in tomllib.loads("".join(home.keys))
    if kind != "in":
        for block in (block for block in blocks if block.is_in(place)):
            block.lead = re.sub(r"\n\n\Z", "\n", block.lead) if block.lead.strip() else ""
            block.heading, block.keys = "", []
    if among_keys:
        _change_key(home.keys, change, path)
    elif kind == "in":
        _put_in(blocks, (*place[:-1], int(place[-1]) - 1), _new_blocks(place, value))
    elif kind == "set":
        _set_new(blocks, home, place, value)
    return "".join(block.text for block in blocks)


def _set_new(blocks: list[_Block], home: _Block, place: Place, value: object) -> None:
    """Set a key that is not there yet: as a block of its own, or at the end of its home."""
    if _stands_alone(place, value):
        _put_in(blocks, place[:-1], _new_blocks(place, value))
    elif len(place) > len(home.place) + 1:
        _put_in(blocks, (), _new_blocks(place[:-1], {place[-1]: value}))
    else:
        _end_line(home.keys)
        home.keys.append(_new_key(place[-1], value))


def _change_key(keys: list[str], change: _Change, path: Place) -> None:
    """Set, take out or lengthen what one key of a block holds; the other keys stay.

    Of a table written as several dotted keys, all belong to it: `a.b = 1` and `a.c = 2` to `a`.
    """
    documents: list[Any] = [tomlkit.parse(key) for key in keys]
    reach = [_reach(document, path) for document in documents]
    *way, last = path
    first, *others = (k for k, steps in enumerate(reach) if steps == max(reach))
    gone = [first, *others] if change.kind == "out" else others if change.kind == "set" else []
    gone = gone if max(reach) == len(path) else []
    try:
        for k in gone:
            del _at(documents[k], way)[last]
        if change.kind == "in":
            _at(documents[first], way).insert(last, _item(change.value))
        elif change.kind == "set":
            _at(documents[first], way)[last] = _item(change.value)
    except (KeyError, IndexError, TypeError, AttributeError):  # not a table or list there
        raise _cannot(change.place) from None
    for k in {first, *gone}:  # tomlkit may write another key's text otherwise than it stood
        keys[k] = documents[k].as_string()


def _at(table: Any, path: Iterable[str | int]) -> Any:
    """What a path leads to inside a table."""
    for part in path:
        table = table[part]
    return table


def _reach(table: Any, path: Place) -> int:
    """How many steps of a path lead into a table: two keys `a.b` and `a.c` share the first."""
    for steps, part in enumerate(path):
        try:
            table = table[part]
        except (KeyError, IndexError, TypeError):
            return steps
    return len(path)


def _end_line(keys: list[str]) -> None:
    """End the last line of a file that stops without a line end."""
    if keys and not keys[-1].endswith("\n"):
        keys[-1] += "\n"


def _put_in(blocks: list[_Block], place: Place, new: list[_Block]) -> None:
    """Put blocks behind the table at a place; else at the end, behind lines left to fill in."""
    inside = [k for k, block in enumerate(blocks) if place and block.is_in(place)]
    if place[-1:] == (-1,):  # in front of the first entry of a list
        at = next(k for k, block in enumerate(blocks) if block.is_in((*place[:-1], 0)))
    else:
        at = inside[-1] + 1 if inside else len(blocks)
    _end_line(next((block.keys for block in reversed(blocks[:at]) if block.keys), []))
    blocks[at:at] = new


def _blocks(text: str) -> list[_Block]:
    """A text cut into tables; the last block holds the comments at the end, as its keys."""
    blocks, seen = [_Block((), "")], {}  # type: list[_Block], dict[Place, int]
    lead = ""
    for part in _parts(text):
        if part.lstrip()[:1] in ("", "#"):
            lead += part
        elif part.lstrip()[0] == "[":
            blocks.append(_Block(_place_of(part, seen), lead, part))
            lead = ""
        else:
            blocks[-1].keys.append(lead + part)
            lead = ""
    return [*blocks, _Block(("",), "", "", [lead] if lead else [])]


def _parts(text: str) -> Iterator[str]:
    """A text cut into its headings, keys with their values, comments and blank lines."""
    part = ""
    for line in _LINE.findall(text):
        part += line
        try:
            tomllib.loads(part)
        except tomllib.TOMLDecodeError:
            continue  # a list or a long string goes on
        yield part
        part = ""


def _place_of(heading: str, seen: dict[Place, int]) -> Place:
    """Where a heading's table stands; `seen` counts the entries of every [[list]]."""
    place: Place = ()
    table: Any = tomllib.loads(heading)
    while table:
        ((key, table),) = table.items()
        place = (*place, key)
        if table == [{}]:
            seen[place] = seen.get(place, -1) + 1
            table = {}
        if place in seen:
            place = (*place, seen[place])
    return place


def _stands_alone(place: Place, value: Any) -> bool:
    """Whether a new table, or list of tables, gets headings rather than braces."""
    named = len(place) <= _DEEPEST_BLOCK and all(isinstance(part, str) for part in place)
    return named and (isinstance(value, dict) or _are_tables(value))


def _new_blocks(place: Place, value: Any) -> list[_Block]:
    """A table, or the tables of a list, each under its heading."""
    if isinstance(value, list):
        entries = enumerate(value)
        return [block for k, entry in entries for block in _new_blocks((*place, k), entry)]
    name = tomlkit.key([part for part in place if isinstance(part, str)]).as_string()
    heading = f"[[{name}]]" if isinstance(place[-1], int) else f"[{name}]"
    inner = {key: each for key, each in value.items() if _stands_alone((*place, key), each)}
    keys = [_new_key(key, each) for key, each in value.items() if key not in inner]
    blocks = [_Block(place, "\n", f"{heading}\n", keys)] if keys or not inner else []
    for key, each in inner.items():
        blocks = blocks + _new_blocks((*place, key), each)
    return blocks


def _new_key(key: str | int, value: Any) -> str:
    """A line of its own for a key."""
    return tomlkit.document().add(str(key), _item(value)).as_string()


def _item(value: Any) -> Any:
    """A value in TOML: tables in braces, long lists over several lines."""
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        for key, each in value.items():
            table.add(key, _item(each))
        return table
    if not isinstance(value, list):
        return tomlkit.item(value)
    array = tomlkit.array()
    for each in value:
        array.append(_item(each))
    return array.multiline(len(array.as_string()) > _LONGEST_LINE)
