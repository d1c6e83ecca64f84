"""Which numbers does a page of the guide say, and what ties each of them to a figure?

A numeral is every number in digits, every number word from eight on, every share or multiple in
words ("a quarter", "twice", "three times", "one in four"). Blocks of code, words in code and the
numbers of lists and headings are none.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from edgetest.store.guide_pages import guide_pages
from tests.guide.measure import CODE, TARGET
from tests.guide.tables import MARKDOWN_TABLE

README = Path(__file__).parents[2] / "README.md"
BLOCK = re.compile(r"^ *```.*?^ *```[^\n]*$", re.DOTALL | re.MULTILINE)
LISTED = re.compile(r"^(#+ )?\s*\d+\. ", re.MULTILINE)
SMALL = "one|two|three|four|five|six|seven"
LARGE = "eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|twenty|hundred|thousand"
SHARES = "half|halves|third|quarter|fifth|eighth|tenth|twice|double|doubled|doubles"
NUMERAL = re.compile(
    rf"(?<![A-Za-z\d.,])\d+(?:[.,]\d+)*"
    rf"|\b(?:{LARGE}|{SHARES})\b(?!-)"
    rf"|\b(?:{SMALL}) times\b"
    rf"|\b(?:{SMALL})\b (?:\w+ ){{0,3}}(?:in|of) (?:three|four|five|six|seven|{LARGE})\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Claim:
    """Words of a page with `{}` where its numbers stand, and what works the numbers out."""

    page: str
    words: str
    numbers: Callable[[], object]

    def said(self):
        """The words with today's numbers in them."""
        found = self.numbers()
        return self.words.format(*(found if isinstance(found, tuple) else (found,)))


def pages_by_name():
    """README and every page of the guide by its name; of a table what stands above its rows."""
    pages = {
        name: MARKDOWN_TABLE.sub("", page.text) if page.kind == "tables" else page.text
        for name, page in guide_pages().items()
    }
    return {"README": README.read_text("utf-8"), **pages}


def prose(text):
    """What a page says in sentences, on one line: no code, no addresses, no marks."""
    plain = CODE.sub("`…`", BLOCK.sub("", text))
    plain = TARGET.sub("]", plain).replace("![", "[")
    plain = re.sub(r"[\[\]*]", "", plain)
    return " ".join(LISTED.sub(r"\1", plain).split())


def untold(text, told):
    """The numerals of a text that none of these words covers, each with what stands about it."""
    covered = set()
    for words in told:
        at = text.find(words)
        while at >= 0:
            covered.update(range(at, at + len(words)))
            at = text.find(words, at + 1)
    for found in NUMERAL.finditer(text):
        if not covered.issuperset(range(*found.span())):
            yield text[max(0, found.start() - 40) : found.end() + 40]
