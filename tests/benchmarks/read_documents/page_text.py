"""What does a document say, block by block: its HTML as structure, its PDF as letters?"""

import re
import subprocess
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from shutil import which

from tests.report.documents.pdf_pages import page_texts

BLOCKS = {"p", "li", "dt", "dd", "td", "th", "h1", "h2", "h3", "caption", "figcaption", "footer"}


@dataclass(frozen=True)
class Block:
    """A piece of text that stands by itself; `head` is its column, or the term it belongs to."""

    kind: str
    text: str
    section: str
    row: int = -1
    head: str = ""


class _Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.blocks, self._kind, self._text = [], None, ""
        self._section, self._row, self._cell, self._heads = "", -1, 0, []
        self._term = ""

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "img" and attrs.get("alt"):
            self._add("alt", attrs["alt"])
        if tag == "table":
            self._heads = []
        if tag == "tr":
            self._row, self._cell = self._row + 1, 0
        if tag in BLOCKS:
            self._kind, self._text = tag, ""

    def handle_endtag(self, tag):
        if tag != self._kind:
            return
        if tag == "h2":
            self._section = self._clean(self._text)
        if tag == "th":
            self._heads.append(self._clean(self._text))
        if tag == "dt":
            self._term = self._clean(self._text)
        head = self._heads[self._cell] if tag == "td" and self._cell < len(self._heads) else ""
        head = self._term if tag == "dd" else head
        self._cell += tag == "td"
        self._add(tag, self._text, head)
        self._kind = None

    def handle_data(self, data):
        self._text += data

    @staticmethod
    def _clean(text):
        text = text.replace("\u00ad", "").replace("\u200b", "").replace("\u2060", "")
        return re.sub(r"\s+", " ", text).strip()

    def _add(self, kind, text, head=""):
        text = self._clean(text)
        if text or kind == "td":
            row = self._row if kind in ("td", "th") else -1
            self.blocks.append(Block(kind, text, self._section, row, head))


def blocks_of(path):
    """The blocks of an HTML page, in their order."""
    page = _Page()
    page.feed(Path(path).read_text(encoding="utf-8"))
    return page.blocks


def table_rows(blocks, first_head):
    """Rows of the tables whose first column has that head, as dicts of head and cell."""
    rows = {}
    for block in blocks:
        if block.kind == "td":
            rows.setdefault(block.row, {})[block.head] = block.text
    return [row for row in rows.values() if next(iter(row)) == first_head]


def letters_of(path, footer=""):
    """The letters of a PDF in the order in which they are set, without spaces and hyphens.

    The foot of a page (`footer` and its number) stands at the end, so that a paragraph which runs
    over to the next page is read as one.
    """
    if which("pdftotext"):
        told = subprocess.run(
            ["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True
        )
        text = told.stdout.decode("utf-8")
    else:
        text = "\n".join(page_texts(path))
    return without_foot(squeezed(text), squeezed(footer))


def without_foot(letters, foot):
    """Letters whose foot of the page stands once, at the end."""
    return re.sub(rf"{re.escape(foot)}\d+of\d+", "", letters) + foot if foot else letters


def stands_in(text, letters):
    """Whether a text stands in the letters of a PDF; scripts from right to left word by word.

    A reader of PDF puts the words of a line that holds both directions into an order of its own.
    """
    if squeezed(text) in letters:
        return True
    if not re.search(r"[\u0590-\u08ff]", text):
        return False
    words = [squeezed(word) for word in text.split()]
    return all(word in letters or word.strip("().,;:") in letters for word in words)


def squeezed(text):
    """Letters alone: what parting words and lines cannot change."""
    return re.sub(r"[\s\u00ad\u200b\u2060\u200e\u200f\u202a-\u202e\u2066-\u2069-]+", "", text)
