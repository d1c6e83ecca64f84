"""Where in the guide does it stand? Passages that hold the words of a question, best first."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import asdict, dataclass
from functools import lru_cache
from itertools import groupby, pairwise

from edgetest.errors import nearest
from edgetest.store.guide_pages import FENCE, LINK, GuidePage, guide_pages

PICTURE = re.compile(r"^!\[[^\]]*\]\([^)]*\)$", re.MULTILINE)
HEADING = re.compile(r"^#{1,6} +(.+?) *$")
LETTERS = re.compile(r"\w+")
# Words of a question that say nothing of its matter.
EMPTY = frozenset(
    {"a", "an", "and", "are", "at", "be", "by", "can", "did", "do", "does", "for", "from", "get",
     "has", "have", "how", "i", "if", "in", "is", "it", "its", "me", "my", "no", "not", "of", "on",
     "or", "should", "so", "that", "the", "there", "this", "to", "we", "what", "when", "where",
     "which", "who", "why", "will", "with", "you", "your"}
)  # fmt: skip
FOUND = 6
MOST_WORDS = 32  # of a question
WORDS_SHOWN = 300  # characters of a passage
# How much a word weighs in the page's title, in the heading and in the text (bm25 of SQLite).
WEIGHTS = "0.0, 0.0, 3.0, 4.0, 1.0"
# Pages that tell a task or a reason are read before those where everything is looked up.
LAST = ("reference/accuracy", "reference/notebook")  # figures, and verbs of Python
WEIGHT_OF = {"start": 1.3, "how_to": 1.5, "why": 1.5, "reference": 1.0}


@dataclass(frozen=True)
class Passage:
    """A place in the guide: the page's name and title, the heading above it, and its words."""

    page: str
    title: str
    heading: str
    words: str

    def to_dict(self) -> dict[str, str]:
        """As plain values, for JSON."""
        return asdict(self)


def passages(question: str, most: int = FOUND) -> list[Passage]:
    """Passages of the guide that hold words of the question, the best first, one a section.

    Words are compared by their stems; a passage with rarer words, and with more of them, stands
    first (Okapi BM25 as SQLite's FTS5 reckons it). Pages of tables are left out.
    """
    words = _asked(question)
    if not words:
        return []
    with closing(_index()) as index:
        return _read(index, words, most)


def meant_by(question: str) -> str:
    """A question's words, each by the guide's nearest one; empty where none is near."""
    known = {
        word for _, heading, blocks in _sections() for text in (heading, *blocks)
        for word in LETTERS.findall(text.lower()) if len(word) > 3
    }  # fmt: skip
    meant = []
    for word in _asked(question):
        alike = sorted(each for each in known if each[0] == word[0])  # mostly the first is right
        meant.append(nearest(word, alike) or nearest(word, sorted(known)))
    return " ".join(filter(None, meant))


def _asked(question: str) -> list[str]:
    words = list(dict.fromkeys(word.lower() for word in LETTERS.findall(question)))
    return ([word for word in words if word not in EMPTY] or words)[:MOST_WORDS]


def _read(index: sqlite3.Connection, words: list[str], most: int) -> list[Passage]:
    pairs = [" ".join(pair) for pair in pairwise(words)]  # words that stand together count more
    asked = " OR ".join(
        f'"{each}"*' if len(each) > 3 else f'"{each}"'
        for each in (one.replace("_", " ").strip() for one in (*words, *pairs)) if each
    )  # fmt: skip
    if not asked:
        return []
    sections = index.execute(
        "SELECT rowid, page, title, heading FROM sections WHERE sections MATCH ? "
        f"ORDER BY bm25(sections, {WEIGHTS}) * weight LIMIT ?",
        (asked, most),
    ).fetchall()
    best = "SELECT words FROM blocks WHERE blocks MATCH ? AND section = ? ORDER BY rank LIMIT 1"
    first = "SELECT words FROM blocks WHERE section = ? LIMIT 1"  # its heading alone holds them
    told = []
    for section, page, title, heading in sections:
        found = index.execute(best, (asked, section)).fetchone()
        (text,) = found or index.execute(first, (section,)).fetchone()
        told.append(Passage(page, title, heading, _shortened(text, words)))
    return told


@lru_cache(maxsize=1)
def _sections() -> tuple[tuple[GuidePage, str, tuple[str, ...]], ...]:
    """Page, heading and blocks of every section that has words of its own."""
    return tuple(
        (page, heading, tuple(text for _, text in blocks))
        for page in guide_pages().values() if page.kind != "tables"
        for (_, heading), blocks in groupby(_blocks_of(page), key=lambda block: block[0])
    )  # fmt: skip


def _index() -> sqlite3.Connection:
    index = sqlite3.connect(":memory:")
    stems = "tokenize='porter unicode61 remove_diacritics 2'"
    index.execute(
        "CREATE VIRTUAL TABLE sections USING fts5"
        f"(page UNINDEXED, weight UNINDEXED, title, heading, words, {stems})"
    )
    index.execute(f"CREATE VIRTUAL TABLE blocks USING fts5(section UNINDEXED, words, {stems})")
    for number, (page, heading, blocks) in enumerate(_sections(), start=1):
        weight = 0.5 if page.name.startswith(LAST) else WEIGHT_OF[page.kind]
        row = (number, page.name, weight, page.title, heading, " ".join(blocks))
        index.execute(
            "INSERT INTO sections (rowid, page, weight, title, heading, words) "
            "VALUES (?, ?, ?, ?, ?, ?)", row,
        )  # fmt: skip
        index.executemany("INSERT INTO blocks VALUES (?, ?)", [(number, text) for text in blocks])
    return index


def _blocks_of(page: GuidePage) -> Iterator[tuple[tuple[int, str], str]]:
    """Paragraphs, entries of lists and rows of tables: number and heading of the section, text."""
    body = PICTURE.sub("", page.body)
    fenced = {found.start(): found.end() for found in FENCE.finditer(body)}
    heading, section, at, in_fence = page.title, 0, 0, 0
    held: list[str] = []
    for line in body.splitlines(keepends=True):
        in_fence = max(in_fence, fenced.get(at, 0))
        at += len(line)
        found = None if at <= in_fence else HEADING.match(line)
        new = found or not line.strip() or re.match(r"(- |\d+\. |\|)", line)
        if new and at > in_fence and held:
            yield (section, heading), _plain(held)
            held = []
        if found:
            heading, section = found[1], section + 1
        elif line.strip() and not re.fullmatch(r"\|[\s:|-]+\|\s*|```\w*\s*", line):
            held.append(line)
    if held:
        yield (section, heading), _plain(held)


def _plain(lines: list[str]) -> str:
    """Text as it is read: without marks of lists, of links and of cells."""
    text = " ".join(" ".join(lines).split())
    text = LINK.sub(lambda found: found["words"], text)
    if text.startswith("|"):
        text = ": ".join(cell for part in text.split(" | ") if (cell := part.strip("| ")))
    return re.sub(r"^(- |\d+\. )|\*\*|(?<!\w)\*(?=\w)|(?<=[\w.])\*(?!\w)", "", text)


def _shortened(text: str, words: list[str]) -> str:
    """The text, or the part of it that begins a little before the first word asked for."""
    if len(text) <= WORDS_SHOWN:
        return text
    places = [at for word in words if (at := text.lower().find(word[:5])) >= 0]
    start = max(min(places, default=0) - WORDS_SHOWN // 4, 0)
    start = text.find(" ", start) + 1 if start else 0
    end = text.rfind(" ", start, start + WORDS_SHOWN) if start + WORDS_SHOWN < len(text) else None
    return f"{'… ' if start else ''}{text[start:end]}{' …' if end else ''}"
