"""Which labels differ by a slip of the pen alone, so that one thing counts as two?"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE, Study
from edgetest.store.table_faults import cell_fault

LABELS = ("block", "batch", "operator", "board", "day", "species", "grain")
# Names that differ in capitals or blanks alone are a fault of the log already.
WRITTEN_ONE_WAY = ("blade", "heat_treatment", "batch", "block", "board", "species")
BLADE_LABELS = ("steel", "kind", "piece", "batch", "edge_finish")
LETTERS_ALIKE = str.maketrans({"l": "1", "i": "1", "o": "0"})
SHORTEST_WORD = 3  # of shorter words, one letter makes another word
MOST_LABELS = 400  # of one column; more are numbers of a kind, and pairs grow with the square


def near_labels(name: str, rows: Sequence[Any], column: str) -> Iterator[UnusableInput]:
    """Labels of a log's column that a slip parts; the rarer one is asked about, at its first row.

    Parameters
    ----------
    name : str
        Of the log.
    rows : sequence of LogRow or ChopRow
    column : str
    """
    if not rows or not hasattr(rows[0], column):  # of the other kind of log
        return
    labels = [getattr(row, column) for row in rows]
    count = Counter(labels)
    count.pop("", None)
    for usual, rare in slips(count, capitals=column not in WRITTEN_ONE_WAY):
        if column == "species" and _one_wood(usual, rare):
            continue
        what = f'"{rare}" is nearly "{usual}" of {count[usual]} other rows, and counts as another'
        yield cell_fault(name, rows[labels.index(rare)].line, column, what, _if_one(usual))


def _one_wood(one: str, other: str) -> bool:
    """Whether two spellings are names of one wood, and count as it."""
    from edgetest.chop.species import said_as

    return bool(said_as(one).casefold() == said_as(other).casefold())


def near_facts(study: Study) -> Iterator[UnusableInput]:
    """Labels of blades and of what they were quenched in that a slip parts."""
    for key in BLADE_LABELS:
        held = [(f"blades {k} ({blade.id}), {key}", getattr(blade, key, ""))
                for k, blade in enumerate(study.blades, 1)]  # fmt: skip
        yield from _asked(held, "blades", blade_slips(study.blades, key))
    steps = [(f"heat_treatments {k} ({each.id}), steps {j}, medium", step.medium)
             for k, each in enumerate(study.heat_treatments, 1)
             for j, step in enumerate(each.steps, 1)]  # fmt: skip
    yield from _asked(steps, "steps")


def near_lots(study: Study) -> Iterator[UnusableInput]:
    """Lots of found steel that a slip parts."""
    from edgetest.study.steel.steel_rows import steel_rows_of

    pieces = enumerate(steel_rows_of(study).pieces, 1)
    yield from _asked([(f"evidence, pieces {k}, lot", piece.lot) for k, piece in pieces], "pieces")


def _asked(
    held: Sequence[tuple[str, str | None]],
    of: str,
    pairs: Iterator[tuple[str, str]] | None = None,
) -> Iterator[UnusableInput]:
    """Questions about labels of study.toml, given with their places."""
    count = Counter(label for _, label in held if label)
    for usual, rare in slips(count) if pairs is None else pairs:
        what = f'"{rare}" is nearly "{usual}" of other {of}, and counts as another'
        where = next(place for place, label in held if label == rare)
        yield UnusableInput(what, f"{STUDY_FILE}, {where}", _if_one(usual))


def _if_one(usual: str) -> str:
    return f'write "{usual}" if it is the same; if not, leave it'


def blade_slips(blades: Sequence[Any], key: str) -> Iterator[tuple[str, str]]:
    """As `slips`, of one label of blades; "quench K1" of K1 and "quench K2" of K2 are two.

    Parameters
    ----------
    blades : sequence of Blade
    key : str
        The label's key.
    """
    labels = [getattr(blade, key, "") for blade in blades]
    bare: dict[str, set[str]] = {}  # each label without the names of the blades that hold it
    for blade, label in zip(blades, labels, strict=True):
        names = re.split(rf"\b{re.escape(blade.id)}\b", label or "", flags=re.IGNORECASE)
        bare.setdefault(label, set()).add("*".join(names) if len(names) > 1 else "")
    for usual, rare in slips(Counter(filter(None, labels))):
        if not (bare[usual] == bare[rare] and all(bare[usual])):
            yield usual, rare


def slips(count: Mapping[str, int], *, capitals: bool = True) -> Iterator[tuple[str, str]]:
    """Pairs of labels that differ by a slip of the pen, the more frequent one first.

    Parameters
    ----------
    count : mapping of str to int
        How often each label was met; of over `MOST_LABELS` none is told.
    capitals : bool
        Tell those that differ in capitals and blanks alone, too.
    """
    if not 1 < len(count) <= MOST_LABELS:
        return
    for one, other in combinations(count, 2):
        if _slip(one, other) and (capitals or not _one_but_for_capitals(one, other)):
            usual, rare = sorted((one, other), key=lambda label: -count[label])
            yield usual, rare


def _one_but_for_capitals(one: str, other: str) -> bool:
    return one.casefold().split() == other.casefold().split()


@lru_cache(maxsize=4096)
def _parts(label: str) -> tuple[str, tuple[str, ...], tuple[str, ...], str]:
    """Letters with those like digits as digits, words, numbers, and letters without digits."""
    words = re.findall(r"\w+", label.casefold())
    letters = "".join(words)
    numbers = tuple(re.findall(r"\d+", letters))
    return letters.translate(LETTERS_ALIKE), tuple(words), numbers, re.sub(r"\d", "", letters)


def _slip(one: str, other: str) -> bool:
    """Whether two labels are one but for a mark, a letter like a digit, or one letter."""
    (a, words, numbers, bare), (b, words_b, numbers_b, bare_b) = _parts(one), _parts(other)
    if a == b:
        return True
    if numbers != numbers_b or abs(len(bare) - len(bare_b)) > 1:
        return False
    if len(words) == len(words_b):
        apart = [pair for pair in zip(words, words_b, strict=True) if pair[0] != pair[1]]
        if all(max(map(len, pair)) < SHORTEST_WORD for pair in apart):
            return False  # "board a" and "board b" are two
    return min(len(bare), len(bare_b)) >= SHORTEST_WORD and _one_edit(bare, bare_b)


def _one_edit(a: str, b: str) -> bool:
    """Whether one letter put in, left out, changed, or swapped with the next makes a into b."""
    short, long = sorted((a, b), key=len)
    if len(long) - len(short) > 1 or a == b:
        return False
    i = next((k for k, (x, y) in enumerate(zip(short, long, strict=False)) if x != y), len(short))
    if len(short) < len(long):
        return short[i:] == long[i + 1 :]
    swapped = short[:i] + short[i + 1 : i + 2] + short[i : i + 1] + short[i + 2 :]
    return short[i + 1 :] == long[i + 1 :] or swapped == long
