"""The figures of the guide's tables, for the sentences that quote them."""

import re
from functools import cache
from math import floor

from tests.guide.tables import MARKDOWN_TABLE, tables

NUMBER = re.compile(r"[-+]?\d+(?:,\d{3})*(?:\.\d+)?")
WORDS = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen", "twenty",
)  # fmt: skip


@cache
def table(name):
    """Head and rows of a table of the guide, each a tuple of cells."""
    (found,) = MARKDOWN_TABLE.findall(tables()[name].text)
    head, _, *rows = [
        tuple(cell.strip() for cell in line.strip("|").split("|")) for line in found.splitlines()
    ]
    return head, rows


def row(name, *start):
    """The one row that begins with these cells."""
    (found,) = [each for each in table(name)[1] if each[: len(start)] == start]
    return found


def rows(name, **holds):
    """Rows whose cells hold these values, columns by their place: `_2="mean"`."""
    asked = {int(place.strip("_")): cell for place, cell in holds.items()}
    return [r for r in table(name)[1] if all(r[at] == cell for at, cell in asked.items())]


def place(name, head):
    """Where a column stands; the last one of that name."""
    heads = table(name)[0]
    return len(heads) - 1 - heads[::-1].index(head)


def cell(name, head, *start):
    """The first number in a cell."""
    return numbers(row(name, *start)[place(name, head)])[0]


def column(name, head, among=None):
    """The first number of every cell of a column that holds one."""
    at = place(name, head)
    told = table(name)[1] if among is None else among
    return [numbers(r[at])[0] for r in told if NUMBER.search(r[at])]


def numbers(text):
    """Every number of a text."""
    return [float(found.replace(",", "")) for found in NUMBER.findall(text)]


def down(share):
    """A share that is held, in whole per cent: rounded down, never up."""
    return floor(share + 1e-9)


def word(number):
    """A whole number as the guide writes it in words."""
    return WORDS[round(number)]


def to(step, number):
    """A number rounded to the nearest multiple of a step."""
    return step * round(number / step)


def holds(true):
    """Nothing to fill in, where words without a number say what is true."""
    assert true
    return ()
