"""What became of which reading: a change of the history in words."""

import re

from edgetest.store.history import IN_THE_FILE, TABLES
from edgetest.study.facts.facts_told import facts_in_words

_DONE = {
    "append": "saved",
    "correct": "corrected",
    "undo": "undone",
    "move": "moved",
    "facts": "changed",
    IN_THE_FILE: "changed in the file:",
}
# A column's name as a person says it: its unit follows the value.
_UNITS = {"_kg_m3": "kg/m³", "_pct": "%", "_mm": "mm", "_deg": "°", "_count": "", "_g": "g"}
_GLUED = re.compile(r"(\d)([^\W\d_]+)(?= *(?:→|$))")  # a unit typed onto its number
_MARKS = "\"'″′”’"  # that stand for inches and feet
_POWER = re.compile(r"(?<=\d)[eE](?=[+-]?\d+\s*$)")  # of ten, as in 1e3: no unit
_CALLED = {"species": "wood"}
LOOK = "look at the edge"
# Columns that say where a row belongs.
KEYS = ("blade", "block", "cuts", "station_mm", "check_no", "kind", "order")


def cell_words(column, text, rules):
    """A cell in the words of the protocol: "edge width 7.1 µm"; a unit that was typed stays."""
    if column == "result":
        return text
    title, unit = _title_of(column)
    for rule in rules.readings:
        if rule.name == column:
            title, unit = rule.title, rule.unit
    if unit:
        text = _GLUED.sub(r"\1 \2", text)
    last = _POWER.sub("", text.rpartition("→")[2])
    unit = "" if any(mark.isalpha() or mark in _MARKS for mark in last) else unit
    return f"{title} {text} {unit}".strip()


def _title_of(column):
    """Name and unit of a column that the protocol has no words for."""
    ending = next((each for each in _UNITS if column.endswith(each)), "")
    bare = column.removesuffix(ending)
    return _CALLED.get(bare, bare.replace("_", " ")), _UNITS.get(ending, "")


def change_words(change, names, rules):
    """A change of the history in words: what became of which reading."""
    before, after = change.before or {}, change.after or {}
    word = _DONE.get(change.what, change.what)
    if change.table not in TABLES:  # facts of the study
        return f"{word} {facts_in_words(change)}"
    cells = after or before
    blade = cells.get("blade", "")
    place = [names.get(blade, blade), cells.get("block", "")]
    place.append(f"{cells['cuts']} cuts" if "cuts" in cells else "")
    looked = cells.get("kind") == "inspection"
    place.append(
        f"{cells.get('kind', '')} {cells.get('order', '')}".strip() if not looked else LOOK
    )
    place.append(f"station {cells['station_mm']} mm" if cells.get("station_mm") else "")
    where = ", ".join(part for part in place if part)
    return f"{where}: {became_words(change, rules)}"


def became_words(change, rules):
    """What was done to a row, without its place: "corrected edge width 7 → 9 µm"."""
    before, after = change.before or {}, change.after or {}
    named = _changed(before, after, in_file=change.what == IN_THE_FILE)
    changed = [_became(name, before.get(name, ""), after.get(name, ""), rules) for name in named]
    word = _DONE.get(change.what, change.what)
    place = "" if change.from_row is None else f" from row {change.from_row} to row {change.row}"
    if not changed and place:
        return f"moved {IN_THE_FILE}{place}" if change.what == IN_THE_FILE else f"{word}{place}"
    if not changed:
        return _row_words(change) or word.removesuffix(":")
    return f"{word} {'; '.join(changed)}{place and f', moved{place}'}{_moved(change, named)}"


def _row_words(change):
    """What became of a row of the file that held its keys alone; "" where it still stands."""
    if change.what != IN_THE_FILE:
        return ""
    if change.before and not change.after:
        return "the row, in which nothing was noted, was taken out"
    return "a row in which nothing is noted was added" if not change.before else ""


def _changed(before, after, *, in_file):
    """Names of the cells that changed; a key that a row came with is told by its place alone.

    One that a row lost, or was given in the file later, is a change like any other.
    """
    lost, given = bool(after), bool(before) and in_file
    return [
        name
        for name in dict.fromkeys([*before, *after])
        if before.get(name, "") != after.get(name, "")
        and (name not in KEYS or (lost if before.get(name) else given))
    ]


def _moved(change, named):
    """That another row may stand in a place of the file now: its keys and its cells changed."""
    of_keys = [name in KEYS for name in named]
    both = change.what == IN_THE_FILE and any(of_keys) and not all(of_keys)
    return "; or another row was moved here" if both and change.before and change.after else ""


def _became(name, before, after, rules):
    if before and after:
        return cell_words(name, f"{before} → {after}", rules)
    return cell_words(name, after, rules) if after else f"{cell_words(name, before, rules)} removed"
