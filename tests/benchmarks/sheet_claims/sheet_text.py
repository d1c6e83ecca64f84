"""What does the PDF say, line by line and sentence by sentence? Read with pypdf."""

import re
from dataclasses import dataclass
from functools import cached_property

from tests.report.documents.pdf_pages import page_texts

TABLE = re.compile(r"Row After What")
BESIDE = re.compile(r"Beside it, piece by piece$")
AFTER_TABLE = re.compile(
    r"Method$|Departures from the protocol$|The swing in|Also to bear in mind|Care and|In numbers|"
    r"Beside it, piece by piece$"
)
DEPARTED = re.compile(  # what was asked stands beside what was done; read by its own tests
    r"^Departures from the protocol\n"
    r".*?(?=^Method$|^Also to bear in mind$|^Beside it, piece by piece$|\Z)",
    re.DOTALL | re.MULTILINE,
)
WISHES = re.compile(
    r"^The protocol\b(?:(?!\.\n).)*?\basks for\b.*?(?:\.\n|\.?\Z)", re.DOTALL | re.MULTILINE
)
SHORT_LINE = 50  # letters; a line of prose that goes on is longer
FOOT = re.compile(r"^edgetest \d[^\n]*SHA-256.*?\d+ of \d+\s*$", re.MULTILINE | re.DOTALL)


# What is told of the edge of the blade beside this tool, a sentence each.
COMPARISON = re.compile(r"^Beside\s+it,(?!\s+piece\s+by).*?\.(?=\s|\Z)", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True)
class Contradiction:
    """A sentence of the sheet that its log does not bear."""

    rule: str
    sentence: str
    why: str

    def __str__(self):
        """As the judge prints it."""
        return f"[{self.rule}] {self.why}: '{self.sentence[:160]}'"


@dataclass(frozen=True)
class SheetText:
    """The text of a sheet without its foot line."""

    whole: str
    foot: str = ""

    @cached_property
    def lines(self):
        """Lines as they stand on the page."""
        return [line.strip() for line in self.whole.splitlines() if line.strip()]

    @cached_property
    def prose(self):
        """The text in one line, words that were parted at a line's end joined again."""
        joined = re.sub(r"(?<=\w)[-\u00ad]\n(?=[a-z])", "", self.whole)
        return re.sub(r"\s+", " ", joined)

    @cached_property
    def sentences(self):
        """Sentences, and lines of tables, as far as stops, capitals and short lines tell."""
        paragraphs = [""]
        for line, following in zip(self.lines, [*self.lines[1:], ""], strict=True):
            paragraphs[-1] += line + "\n"
            ends = re.search(r"[.!?:]$|\d(?: ?[%a-z²³])*$", line) or len(line) < SHORT_LINE
            if ends and re.match(r"[A-Z–•…\d]", following):
                paragraphs.append("")
        whole = [SheetText(p).prose for p in paragraphs]
        parts = [re.split(r"(?<=[.!?])\s+(?=[A-Z–‘'(])", p) for p in whole]
        return [s.strip() for part in parts for s in part if s.strip()]

    @cached_property
    def beside(self):
        """Where the table of the comparison blade's rows begins and ends among the lines."""
        lines = self.lines
        head = next((i for i, line in enumerate(lines) if BESIDE.match(line)), len(lines))
        end = next(
            (i for i in range(head + 1, len(lines)) if AFTER_TABLE.match(lines[i])), len(lines)
        )
        return head, end

    def table_beside(self):
        """Lines of the comparison blade's rows, none without such a table."""
        head, end = self.beside
        table = next((i for i in range(head, end) if TABLE.match(self.lines[i])), end)
        return self.lines[table + 1 : end]

    def parted(self):
        """The sheet without its table of the log and the protocol's wishes; the table's lines."""
        lines = [*self.lines[: self.beside[0]], *self.lines[self.beside[1] :]]
        head = next((i for i, line in enumerate(lines) if TABLE.match(line)), len(lines))
        end = next((i for i in range(head, len(lines)) if AFTER_TABLE.match(lines[i])), len(lines))
        body = DEPARTED.sub("", "\n".join([*lines[:head], *lines[end:]]))
        body = WISHES.sub("", body)
        return SheetText(body, self.foot), lines[head + 1 : end]

    def without_comparison(self):
        """The sheet without what it tells of another blade's edge, and those sentences."""
        told = [SheetText(one) for one in COMPARISON.findall(self.whole)]
        return SheetText(COMPARISON.sub("", self.whole), self.foot), told

    def holding(self, pattern):
        """Sentences in which the pattern occurs, with the match."""
        for sentence in self.sentences:
            for found in re.finditer(pattern, sentence, re.IGNORECASE):
                yield sentence, found


def text_of(path):
    """The text of a PDF of one or more pages."""
    pages = "\n".join(page_texts(path))
    pages = pages.replace("\u00a0", " ").replace("\u202f", " ")
    return SheetText(FOOT.sub("", pages), "\n".join(FOOT.findall(pages)))
