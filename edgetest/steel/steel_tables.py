"""Which numbers stand behind the weighing of a steel, and where did each come from?"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from edgetest.errors import UnusableInput
from edgetest.no_numbers import shortened

MIXED = "mixed_lot"  # a property of several coupons, not of one steel
GREATEST = 1e12  # number of a table: far above all that a table can mean
STEELS = (
    "plain_low", "plain_medium", "plain_high", "low_alloy_low", "low_alloy_medium",
    "low_alloy_high", "air_hardening", "stainless_hardening", "stainless_not_hardening",
    "cast_iron", "wrought_iron", "surface_hardened", "something_else",
)  # fmt: skip
EXPLANATIONS = (*STEELS[:-1], MIXED, STEELS[-1])
SOURCE, OTHER = "source", "other"
# Sections whose rows are weights, divided by their sum.
WEIGHTS = (
    "prior", "sparks", "stream", "magnet", "forging", "fracture", "found_below", "found_skin",
    "grain", "break", "edge",
)  # fmt: skip
LEAST_CHANCE = 1e-4  # nothing seen rules an explanation out by the tables alone

Numbers = Mapping[str, Mapping[str, Mapping[str, float]]]


@dataclass(frozen=True)
class SteelTables:
    """Chances, shares and sizes by section, row and word; every row with its source.

    Attributes
    ----------
    numbers : mapping of section to row to word to float
    sources : mapping of section to row to str
    own : tuple of OwnPieces
        Pieces of the shop whose truth is settled (see `edgetest.steel.own_pieces`).
    kept : dict or None
        Parts worked out once for tables that differ in few rows (see `once`); None keeps none.
    changed : frozenset of (section, row)
        Rows that differ from the tables whose parts are kept.
    """

    numbers: Numbers
    sources: Mapping[str, Mapping[str, str]]
    own: tuple = ()
    kept: dict[Hashable, tuple[Any, set[tuple[str, str]]]] | None = field(
        default=None, compare=False, repr=False
    )
    changed: frozenset[tuple[str, str]] = field(default=frozenset(), compare=False, repr=False)

    def row(self, section, row):
        """One row's numbers by word."""
        self.used.add((section, row))
        return self.numbers[section][row]

    @cached_property
    def used(self) -> set[tuple[str, str]]:
        """(section, row) of every row that was asked for so far."""
        return set()

    @cached_property
    def _columns(self) -> dict[tuple[str, str], np.ndarray]:
        return {}

    @property
    def recording(self):
        """Whether every part notes the rows that it asks for, for tables changed from these."""
        return self.kept is not None and not self.changed

    def once(self, key, make: Callable[[], Any]) -> Any:
        """What `make` works out of these tables; kept, where all rows that it asks for are alike.

        A part depends on no number but those it asks for by `row` and what is built on it. So
        tables with a few changed rows take a part over to the last bit, unless it asked for one
        of them. Nothing may change a part that was kept.

        Parameters
        ----------
        key : hashable
            Names the part; within one `kept` it stands for one thing.
        make : callable
        """
        if self.kept is None:
            return make()
        there = self.kept.get(key)
        if there is not None and not self.changed & there[1]:
            self.used.update(there[1])
            return there[0]
        if self.changed:
            return make()
        before = self.used
        asked: set[tuple[str, str]] = set()
        self.__dict__["used"] = asked
        try:
            found = make()
        finally:
            self.__dict__["used"] = before
            before |= asked
        self.kept[key] = found, asked
        return found

    def of_steels(self, section, word):
        """One word's number for each steel, shape (steels,)."""
        at = section, word
        if self.recording or at not in self._columns:
            self._columns[at] = self.once(("column", *at), lambda: self._column(section, word))
        return self._columns[at]

    def _column(self, section, word):
        each = [self._chance(section, steel, word) for steel in STEELS]
        return np.array(each, dtype=float)

    def _chance(self, section, row, word):
        """A number; of a row of weights its share, no smaller than `LEAST_CHANCE`."""
        numbers = self.row(section, row)
        if section not in WEIGHTS:
            return numbers[word]
        return max(numbers[word] / sum(numbers.values()), LEAST_CHANCE)

    def chances(self, section, row):
        """The shares of one row of weights, by word."""
        return {word: self._chance(section, row, word) for word in self.numbers[section][row]}

    def prior(self, origin):
        """Chance of each steel by what the piece was, shape (steels,)."""
        weights = self.row("prior", origin)
        rest = weights.get(OTHER, 0.0)
        each = np.array([weights.get(steel, rest) for steel in STEELS], dtype=float)
        return each / each.sum()

    def with_number(self, section, row, word, value):
        """The same tables with one number changed."""
        rows = self.numbers[section]
        changed = {**rows, row: {**rows[row], word: value}}
        numbers = {**self.numbers, section: changed}
        return replace(self, numbers=numbers, changed=self.changed | {(section, row)})

    def places(self):
        """(section, row, word) of every number."""
        return [
            (section, row, word)
            for section, rows in self.numbers.items()
            for row, words in rows.items()
            for word in words
        ]


def steel_tables(mapping, *, base: SteelTables | None = None):
    """Tables from plain values, as a file holds them; rows left out are those of `base`.

    Parameters
    ----------
    mapping : mapping of section to row to word to number, each row with its `source`
    base : SteelTables or None
        What the rows left out come from; only its sections, rows and words are known then.

    Returns
    -------
    SteelTables

    Raises
    ------
    UnusableInput
        Naming the row where a source is missing, a word unknown or a number impossible.
    """
    numbers = {section: dict(rows) for section, rows in base.numbers.items()} if base else {}
    sources = {section: dict(rows) for section, rows in base.sources.items()} if base else {}
    for section, rows in mapping.items():
        for row, words in _table(rows, section).items():
            at = f"tables, {section}.{row}"
            told = dict(_table(words, at))
            source = told.pop(SOURCE, None)
            if not isinstance(source, str) or not source.strip():
                raise UnusableInput(
                    "no source named", at, 'give source = "common practice, no source" or better'
                )
            if base is not None:
                _check_known(base.numbers, section, row, told, at)
                told = {**numbers[section][row], **told} if section not in WEIGHTS else told
            numbers.setdefault(section, {})[row] = _checked(section, told, at)
            sources.setdefault(section, {})[row] = source
    return SteelTables(numbers, sources)


def _table(value, at):
    if not isinstance(value, Mapping):
        raise UnusableInput("not a table", f"tables, {at}", "write rows of words and numbers")
    return value


def _check_known(known, section, row, words, at):
    """Raise where a maker's own row names what the tables do not have."""
    if row not in known.get(section, {}):
        mend = f"known: {', '.join(known.get(section, known))}"
        raise UnusableInput("no such row", at, mend)
    allowed = {*STEELS, OTHER} if section == "prior" else set(known[section][row])
    unknown = [word for word in words if word not in allowed]
    if unknown:
        raise UnusableInput(f'no word "{unknown[0]}"', at, f"known: {', '.join(sorted(allowed))}")
    missing = allowed - set(words)
    if section in WEIGHTS and section != "prior" and missing:
        raise UnusableInput("words left out", at, f"give {', '.join(sorted(missing))} too")


def _checked(section, words, at):
    """The row as floats."""
    for word, value in words.items():
        fine = isinstance(value, int | float) and not isinstance(value, bool)
        fine = fine and abs(value) <= GREATEST
        below = section in WEIGHTS and fine and value < 0
        above = word == "chance" and fine and not 0 <= value <= 1
        if not fine or below or above:
            mend = f"give a number, not below zero and at most {GREATEST:.0e}"
            mend = "give a chance of 0 to 1" if above else mend
            raise UnusableInput(f"{word} = {shortened(str(value))}", at, mend)
    if section in WEIGHTS and sum(words.values()) <= 0:
        raise UnusableInput("weights sum to nothing", at, "give one above zero")
    return {word: float(value) for word, value in words.items()}
