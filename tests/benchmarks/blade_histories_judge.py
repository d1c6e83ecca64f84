"""Does the verdict follow what happened to the trial blades?

Types each history of `worlds/blade_histories.py` into a study row by row, as `edgetest enter`
does, asks for the verdict as `edgetest verdict` does, and prints which expectations hold:

    python -m tests.benchmarks.blade_histories_judge [NAME ...]
"""

import json
import random
import re
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from edgetest.errors import UnusableInput
from edgetest.study.enter_rows import asked_of, enter
from edgetest.study.steel.entry_hint import entry_hint
from edgetest.study.steel.judge_steel import judge_steel
from tests.benchmarks.worlds.blade_histories import GROUPS, HISTORIES

SHUFFLES = 2  # orders tried of each history that must not hang on its order
NEAR = 0.05  # of a chance: two tellings of one thing
SAME = 0.002  # of a chance: nothing that a reader sees


@dataclass(frozen=True)
class Answer:
    """What a maker reads, and what was asked or refused on the way."""

    action: str
    about: str
    chance: float | None
    text: str
    asked: tuple[str, ...] = ()

    @property
    def lean(self):
        """The chance, or nought where none is told."""
        return -1.0 if self.chance is None else self.chance

    def untold(self, other):
        """Whether neither tells a chance: what is withheld already cannot fall."""
        return self.chance is None and other.chance is None


def type_rows(folder, rows):
    """Types rows in their order, those refused once more after the others; what was asked."""
    asked, left = [], list(rows)
    while left:
        refused = []
        for table, cells in left:
            typed = {key: str(value) for key, value in cells.items()}
            try:
                asked += asked_of(folder, enter(folder, typed, evidence=table))
            except UnusableInput as fault:
                asked.append(f"refused: {fault}")
                refused.append((table, cells))
        if len(refused) == len(left):
            break
        left = refused
    return asked


def write_rows(folder, rows):
    """Puts rows into the study's file at once, as a hand that knows the format would."""
    keys = {"true": "yes", "false": "no"}
    flags = ("closed_hollow", "loaded_spring", "for_use", "carburised")
    lines = []
    for table, cells in sorted(rows, key=lambda row: row[0] != "known"):
        lines += [] if table == "known" else [f"[[evidence.{table}]]"]
        for key, value in cells.items():
            said = next((true for true, yes in keys.items() if key in flags and value == yes), None)
            typed = [float(one) for one in value.split()] if key == "files_hrc" else value
            lines.append(f"{key} = {said or json.dumps(typed)}")
    with (folder / "study.toml").open("a", encoding="utf-8") as file:
        file.write("\n".join((*lines, "")))
    return []


def answer(history, rows=None, *, put=type_rows):
    """The verdict over a history, its rows put into a study in the given order."""
    with TemporaryDirectory() as place:
        folder = Path(place) / "discs"
        folder.mkdir()
        told = f'title = "discs"\n[verdict]\nuse = "{history.use}"\n[evidence]\n'
        (folder / "study.toml").write_text(told, encoding="utf-8")
        asked = put(folder, history.rows if rows is None else rows)
        try:
            found = judge_steel(folder, piece=history.piece, workers=1, try_numbers=False)
        except UnusableInput as fault:
            return Answer("", "", None, "", (*asked, f"refused: {fault}"))
        except Exception as fault:
            return Answer(f"FAULT {type(fault).__name__}", "", None, "", tuple(asked))
        text = f"{found.words()}\n{entry_hint(found, folder)}"
        document = found.to_dict()
        about, chance = str(document["about"]), document["chance_fit"]
        return Answer(document["action"], about, chance, text, tuple(asked))


@cache
def plain(name, put=type_rows):
    """The verdict over the history of that name, in its own order."""
    return answer(HISTORIES[name], put=put)


def same(one, other):
    """Whether two answers advise alike and at the same chance."""
    return one.action == other.action and abs(one.lean - other.lean) < SAME


def shuffled(history, seed):
    """The rows of a history in another order."""
    rows = list(history.rows)
    random.Random(seed).shuffle(rows)
    return rows


def next_temper_c(text):
    """The coolest temper that the lines to type name, °C."""
    return min(map(int, re.findall(r"temperature_c='?(\d{3})", text)), default=None)


OF_ONE = {
    "action": lambda found, value: found.action in value,
    "action_not": lambda found, value: bool(found.action) and found.action not in value,
    "says": lambda found, value: bool(re.search(value, found.text, re.IGNORECASE)),
    "says_not": lambda found, value: not re.search(value, found.text, re.IGNORECASE),
    "about": lambda found, value: f"Piece {value}: " in found.text,
    "next_temper_above": lambda found, value: (next_temper_c(found.text) or 0) > value,
    "asked": lambda found, value: any(re.search(value, each) for each in found.asked),
}
OF_TWO = {
    "chance_below": lambda one, other: one.lean < other.lean - SAME or one.untold(other),
    "chance_above": lambda one, other: one.lean > other.lean + SAME,
    "chance_not_below": lambda one, other: one.lean >= other.lean - SAME,
    "chance_not_above": lambda one, other: one.lean <= other.lean + SAME,
    "chance_near": lambda one, other: abs(one.lean - other.lean) <= NEAR,
    "same_action": lambda one, other: one.action == other.action,
    "same_as": same,
}


def holds(history, expected, *, put=type_rows):
    """Whether the answer is as expected."""
    found, value = plain(history.name, put), expected.value
    if found.action.startswith("FAULT"):
        return False
    if expected.kind in OF_ONE:
        return OF_ONE[expected.kind](found, value)
    if expected.kind in OF_TWO:
        return OF_TWO[expected.kind](found, plain(value, put))
    if expected.kind == "twice_free":
        orders = [[row for row in history.rows for _ in range(2)]]
    else:
        orders = [shuffled(history, seed) for seed in range(SHUFFLES)]
    return all(same(found, answer(history, rows, put=put)) for rows in orders)


def broken(names=()):
    """The expectations that do not hold, as (history, expectation)."""
    every = [(HISTORIES[name], each) for name in names or HISTORIES for each in _of(name)]
    return [(history, each) for history, each in every if not holds(history, each)]


def _of(name):
    return HISTORIES[name].expected


def main(names):
    """Prints each history with its answer and what does not hold of it, and the table."""
    failed = broken(names)
    for name in names or HISTORIES:
        found = plain(name)
        chance = "none told" if found.chance is None else f"{found.chance:.1%}"
        print(f"{name}: {found.action} ({chance})")
        for history, each in failed:
            if history.name == name:
                mark = f"  [dropped: {each.unfair}]" if each.unfair else ""
                print(f"    NOT {each.kind} {each.value or ''}{mark}")
    if not names:
        print_table([each for _, each in failed])


def print_table(failed):
    """Expectations of each kind of history: how many hold, do not, and were dropped."""
    print("\n| histories of trial blades | histories | expectations | hold | do not | unfair |")
    print("| --- | ---: | ---: | ---: | ---: | ---: |")
    rows = [(title, len(group), [e for one in group for e in one.expected])
            for title, group in GROUPS.items()]  # fmt: skip
    rows.append(("all", len(HISTORIES), [each for _, _, all_of in rows for each in all_of]))
    wrong = {id(each) for each in failed if not each.unfair}
    for title, count, every in rows:
        unfair = sum(bool(each.unfair) for each in every)
        bad = sum(id(each) in wrong for each in every)
        held = len(every) - bad - unfair
        print(f"| {title} | {count} | {len(every)} | {held} | {bad} | {unfair} |")


if __name__ == "__main__":
    main(sys.argv[1:])
