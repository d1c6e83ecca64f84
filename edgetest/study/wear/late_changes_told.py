"""Changes behind the last reading in words: the same change of many rows is told once."""

from collections.abc import Iterator, Sequence
from typing import Any

from edgetest.store.history import IN_THE_FILE
from edgetest.study.bench.change_words import KEYS, became_words, cell_words, change_words
from edgetest.study.wear.corrected_late import LateChange
from edgetest.study.words import counted, listed, row_spans
from edgetest.units import Unreadable, parse_number

MOST_OF_A_COLUMN = 4  # changes of one column on a day that are told one by one
ALIKE = 0.015  # factors of numbers, which are rounded, that are told as one
BOUNDS = "<>≤≥ "


def late_changes_told(late: Sequence[LateChange], rules: Any) -> list[str]:
    """A sentence's part for each change, one for all rows of a blade that changed alike on a day.

    Where many rows of one column were changed in the file on a day, that is one part: with the
    factor, where all were multiplied alike.

    Parameters
    ----------
    late : sequence of LateChange
    rules : Protocol
        Its words of the readings.

    Returns
    -------
    list of str
    """
    alike: dict[tuple[str, ...], list[LateChange]] = {}
    columns: dict[tuple[str, str], set[tuple[str, ...]]] = {}
    for one in late:
        cells = one.change.after or one.change.before or {}
        names, anew = ", after the names came back", ", before the blade was cut anew"
        when = f" ({one.change.when[:10]}{names * one.names_known}{anew * one.cut_anew})"
        key = cells.get("blade", ""), cells.get("block", ""), became_words(one.change, rules), when
        alike.setdefault(key, []).append(one)
        columns.setdefault((_column(one), when), set()).add(key)
    many = {
        key: column
        for column, keys in columns.items() if column[0] and len(keys) > MOST_OF_A_COLUMN
        for key in keys
    }  # fmt: skip
    return list(_parts(alike, many, rules))


def _parts(
    alike: dict[tuple[str, ...], list[LateChange]],
    many: dict[tuple[str, ...], tuple[str, str]],
    rules: Any,
) -> Iterator[str]:
    """Each change in its place; a column of many changes where its first one stands."""
    told = set()
    for key, mine in alike.items():
        blade, block, became, when = key
        if key not in many:
            rows = row_spans(dict.fromkeys(one.change.row for one in mine))
            place = ", ".join(part for part in (blade, block) if part)
            yield (
                f"{place}, rows {rows}: {became}{when}" if len(mine) > 1
                else f"{change_words(mine[0].change, {}, rules)}{when}"
            )  # fmt: skip
        elif many[key] not in told:
            told.add(many[key])
            of_column = [each for other, column in many.items() if column == many[key]
                         for each in alike[other]]  # fmt: skip
            yield f"{_column_words(many[key][0], of_column, rules)}{when}"


def _column(one: LateChange) -> str:
    """The one column that was changed in the file; "" where it was another or more than one."""
    before, after = one.change.before, one.change.after
    if one.change.what != IN_THE_FILE or not before or not after:
        return ""
    names = {name for name in {**before, **after} if before.get(name, "") != after.get(name, "")}
    return names.pop() if len(names) == 1 and not names & set(KEYS) else ""


def _column_words(column: str, late: Sequence[LateChange], rules: Any) -> str:
    """What became of many rows of one column: a common factor, or the first and the last."""
    late = sorted(late, key=lambda one: one.change.row)
    lines = list(dict.fromkeys(one.change.row for one in late))
    blades = list(dict.fromkeys((one.change.after or {}).get("blade", "") for one in late))
    pairs = [((one.change.before or {}).get(column, ""), (one.change.after or {}).get(column, ""))
             for one in late]  # fmt: skip
    factors = [factor for factor in map(_factor, pairs) if factor is not None]
    head = f"{listed(blades)}, rows {row_spans(lines)}: changed in the file:"
    if len(factors) == len(pairs) and max(factors) <= min(factors) * (1 + 2 * ALIKE):
        middle = sorted(factors)[len(factors) // 2]
        first = cell_words(column, " → ".join(pairs[0]), rules)
        return f"{head} {first} in the first, each about {middle:.3g} times what it was"
    first, last = (cell_words(column, " → ".join(pair), rules) for pair in (pairs[0], pairs[-1]))
    return (
        f"{head} {counted(len(lines), 'cell')}, from {first} to {last}; each stands in the history"
    )


def _factor(pair: tuple[str, str]) -> float | None:
    """The later number over the earlier one; None where either is none."""
    try:
        before, after = (parse_number(text.strip(BOUNDS)) for text in pair)
    except Unreadable:
        return None
    return after / before if before and after / before > 0 else None
