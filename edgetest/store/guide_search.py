"""Where in the guide does it stand? Passages that hold the words of a question, best first."""

import re
import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import closing
from dataclasses import asdict, dataclass
from functools import lru_cache
from itertools import groupby, pairwise

from edgetest.errors import nearest
from edgetest.store.guide_pages import FENCE, LINK, GuidePage, guide_pages
from edgetest.store.guide_words import LETTERS, also_said, asked_for, asks_a_meaning

PICTURE = re.compile(r"^!\[[^\]]*\]\([^)]*\)$", re.MULTILINE)
HEADING = re.compile(r"^#{1,6} +(.+?) *$")
GRAVITY = re.compile(r"^\*(?:Decides|Limits|Good to know)\b.*$", re.MULTILINE)  # below each doubt
FOUND = 6
WORDS_SHOWN = 300  # characters of a passage
# How much a word weighs in the page's title, in the heading and in the text (bm25 of SQLite).
WEIGHTS = "0.0, 0.0, 2.5, 3.0, 1.0"
WHOLE = -1  # in place of a block's number: the section
IN_SECTIONS = (
    f"SELECT rowid, {WHOLE}, -bm25(sections, {WEIGHTS}) * weight FROM sections "
    "WHERE sections MATCH ?"
)
IN_BLOCKS = "SELECT section, number, -bm25(blocks) * weight FROM blocks WHERE blocks MATCH ?"
SHORT = 3  # letters: too few to be the beginning of another word, or mistyped
OF_A_BLOCK = 0.8  # what words in one paragraph weigh beside those anywhere below its heading
OF_A_PAIR = 0.3  # what two words that stand together weigh beside one word
OF_A_SYNONYM = 0.7  # of the data beside the glossary
OF_A_MEANING = 1.6  # how much the glossary gains where a word's meaning is asked
# Pages that tell a task or a reason are read before those where everything is looked up.
WEIGHT_OF = {
    "start": 1.3, "how_to": 1.5, "why": 1.4, "reference": 1.0, "reference/glossary": 1.1,
    "reference/steel_tests": 1.2, "reference/questions": 1.3,
    "reference/doubts": 0.9, "reference/methods": 0.6, "reference/sources": 0.5,
    "reference/woods": 0.5, "reference/notebook": 0.5, "reference/accuracy": 0.5,
}  # fmt: skip


Fits = dict[int, float]  # how well a section fits


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

    Words are compared by their stems, and by the guide's own words for them; a passage with rarer
    words, and with more of them, stands first (Okapi BM25 as SQLite's FTS5 reckons it, of the
    section and of its best paragraph together). No page fills more than a third of the list.
    Pages of tables are left out.
    """
    words = asked_for(question)
    if not words:
        return []
    with closing(sqlite3.connect(":memory:")) as index:
        index.deserialize(_index())
        found, shown = _weighed(index, words)
        if asks_a_meaning(question):
            for section in found:
                if _sections()[section - 1][0].name == "reference/glossary":
                    found[section] *= OF_A_MEANING
        told: list[Passage] = []
        of_page = Counter[str]()
        for section in sorted(found, key=lambda each: (-found[each], each)):
            page, heading, blocks = _sections()[section - 1]
            if len(told) < most and of_page[page.name] < max(most // 3, 1):
                of_page[page.name] += 1
                text = blocks[shown.get(section, 0)]
                told.append(Passage(page.name, page.title, heading, _shortened(text, words)))
    return told


def meant_by(question: str) -> str:
    """A question's words, each by the guide's nearest one; empty where none is near."""
    words = asked_for(question)  # mostly the first letter is right
    return " ".join(filter(None, (_near(each) or nearest(each, _known_words()) for each in words)))


def _near(word: str) -> str | None:
    return nearest(word, [each for each in _known_words() if each[0] == word[0]])


@lru_cache(maxsize=1)
def _known_words() -> list[str]:
    return sorted({
        word for _, heading, blocks in _sections() for text in (heading, *blocks)
        for word in LETTERS.findall(text.lower()) if len(word) > SHORT
    })  # fmt: skip


def _weighed(index: sqlite3.Connection, words: list[str]) -> tuple[Fits, dict[int, int]]:
    """How well each section fits, and which of its blocks fits best."""
    of_section: Fits = defaultdict(float)
    of_block: dict[tuple[int, int], float] = defaultdict(float)
    for ways in _ways(index, words):
        best: dict[tuple[int, int], float] = {}
        for select in (IN_SECTIONS, IN_BLOCKS):
            for way, share in ways:
                for section, block, fit in index.execute(select, (way,)):
                    best[section, block] = max(best.get((section, block), 0.0), fit * share)
        for (section, block), fit in best.items():  # of words for one thing the best counts, once
            if block == WHOLE:
                of_section[section] += fit
            else:
                of_block[section, block] += fit
    shown: dict[int, int] = {}
    for section, block in sorted(of_block, key=lambda at: (-of_block[at], at)):
        if section not in shown:
            shown[section] = block
            of_section[section] += OF_A_BLOCK * of_block[section, block]
    return of_section, shown


def _ways(index: sqlite3.Connection, words: list[str]) -> Iterator[list[tuple[str, float]]]:
    """For each thing asked for: expressions of FTS5 that mean it, each with its share."""
    otherwise = also_said(words)
    for asked in words:
        if each := asked.replace("_", " ").strip():
            also = [(f'"{said}"', OF_A_SYNONYM) for said in otherwise.get(asked, ())]
            alone = len(words) == 1  # then the page asks whether another word was meant
            yield [(f'"{each}"' if also else _spelt(index, each, alone), 1.0), *also]
    for pair in map(" ".join, pairwise(words)):
        also = [(f'"{said}"', OF_A_SYNONYM) for said in otherwise.get(pair, ())]
        yield [(f'"{pair.replace("_", " ")}"', OF_A_PAIR), *also]


def _spelt(index: sqlite3.Connection, word: str, alone: bool) -> str:
    """A word as the guide has it: whole, as a beginning, or the nearest one to a mistyped one."""
    whole, begun = f'"{word}"', f'"{word}"*'
    if len(word) <= SHORT or _is_in(index, whole):
        return whole
    near = None if alone or _is_in(index, begun) else _near(word)
    return f'"{near}"' if near else begun


def _is_in(index: sqlite3.Connection, way: str) -> bool:
    found = index.execute("SELECT 1 FROM sections WHERE sections MATCH ? LIMIT 1", (way,))
    return found.fetchone() is not None


@lru_cache(maxsize=1)
def _sections() -> tuple[tuple[GuidePage, str, tuple[str, ...]], ...]:
    """Page, heading and blocks of every section that has words of its own."""
    return tuple(
        (page, heading, tuple(text for _, text in blocks))
        for page in guide_pages().values() if page.kind != "tables"
        for (_, heading), blocks in groupby(_blocks_of(page), key=lambda block: block[0])
    )  # fmt: skip


@lru_cache(maxsize=1)
def _index() -> bytes:
    with closing(sqlite3.connect(":memory:")) as index:
        _fill(index)
        index.commit()
        return index.serialize()


def _fill(index: sqlite3.Connection) -> None:
    stems = "tokenize='porter unicode61 remove_diacritics 2'"
    index.execute(
        "CREATE VIRTUAL TABLE sections USING fts5"
        f"(page UNINDEXED, weight UNINDEXED, title, heading, words, {stems})"
    )
    index.execute(
        "CREATE VIRTUAL TABLE blocks USING fts5"
        f"(section UNINDEXED, number UNINDEXED, weight UNINDEXED, words, {stems})"
    )
    for section, (page, heading, blocks) in enumerate(_sections(), start=1):
        kinds = [kind for kind in WEIGHT_OF if page.name.startswith(kind)]
        weight = WEIGHT_OF[max(kinds, key=len)]
        row = (section, page.name, weight, page.title, heading, " ".join(blocks))
        index.execute(
            "INSERT INTO sections (rowid, page, weight, title, heading, words) "
            "VALUES (?, ?, ?, ?, ?, ?)", row,
        )  # fmt: skip
        rows = [(section, number, weight, text) for number, text in enumerate(blocks)]
        index.executemany("INSERT INTO blocks VALUES (?, ?, ?, ?)", rows)


def _blocks_of(page: GuidePage) -> Iterator[tuple[tuple[int, str], str]]:
    """Paragraphs, entries of lists and rows of tables: number and heading of the section, text."""
    body = PICTURE.sub("", GRAVITY.sub("", page.body))
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
    """Text as it is read: without marks of lists, of links and of cells.

    Words in italics keep theirs: on pages of reference they stand for others (*which*, *NAME*).
    """
    text = " ".join(" ".join(lines).split())
    text = LINK.sub(lambda found: found["words"], text)
    if text.startswith("|"):
        text = ": ".join(cell for part in text.split(" | ") if (cell := part.strip("| ")))
    return re.sub(r"^(- |\d+\. )|\*\*", "", text)


def _shortened(text: str, words: list[str]) -> str:
    """The text, or the part of it that begins a little before the first word asked for."""
    if len(text) <= WORDS_SHOWN:
        return text
    places = [at for word in words if (at := text.lower().find(word[:5])) >= 0]
    start = max(min(places, default=0) - WORDS_SHOWN // 4, 0)
    start = text.find(" ", start) + 1 if start else 0
    end = text.rfind(" ", start, start + WORDS_SHOWN) if start + WORDS_SHOWN < len(text) else None
    return f"{'… ' if start else ''}{text[start:end]}{' …' if end else ''}"
