"""The guide: one kind a page, short enough, easy enough, its links, pictures and tables whole."""

import re

import pytest

from edgetest.store.guide_pages import FENCE, FOLDER, KINDS, guide_pages
from tests.guide.measure import (
    HARDEST_GRADE,
    MOST_WORDS,
    MOST_WORDS_IN_ALL,
    grade,
    handwritten,
    sentences,
    syllables,
    word_count,
)

PAGES = guide_pages()
BY_HAND = [page for page in PAGES.values() if page.kind in MOST_WORDS]
PICTURE = re.compile(r"!\[([^\]]*)\]\(([^)]+)\)")


def name(page):
    return page.name


def broken_links(page):
    """Addresses of a page that lead to no page, no file, or to no heading of it."""
    for to in page.links:
        led = page.led(to)
        if led is None:
            if "://" not in to and not (FOLDER / page.name).parent.joinpath(to).exists():
                yield to
        elif led[0] not in PAGES or (led[1] and led[1] not in PAGES[led[0]].places):
            yield to


def broken_tables(text):
    """Rows that stand apart from a table's head, or have another number of cells."""
    lines = FENCE.sub("", text).splitlines()
    cells = 0
    for number, line in enumerate(lines):
        if not line.startswith("|"):
            cells = 0
            continue
        count = len(re.findall(r"(?<!\\)\|", line))
        if not cells:
            follows = lines[number + 1] if number + 1 < len(lines) else ""
            if not re.fullmatch(r"\|(\s*:?-+:?\s*\|)+", follows):
                yield line
        elif count != cells:
            yield line
        cells = cells or count


def test_every_page_is_of_one_kind():
    assert {page.kind for page in PAGES.values()} <= set(KINDS)


@pytest.mark.parametrize("page", PAGES.values(), ids=name)
def test_a_page_is_whole(page):
    """Title, links, pictures with words that say what they show, tables."""
    first, *others = re.findall(r"^# .+$", FENCE.sub("", page.body), re.MULTILINE)
    assert page.body.startswith(first), "the first line is the title"
    assert others == []
    assert list(broken_links(page)) == []
    for words, path in PICTURE.findall(page.body):
        assert len(words.split()) >= 3, path
        assert (FOLDER / page.name).parent.joinpath(path).is_file(), path
    assert list(broken_tables(page.body)) == []


@pytest.mark.parametrize("page", BY_HAND, ids=name)
def test_a_page_is_short_and_plain(page):
    assert word_count(page.body) <= MOST_WORDS[page.kind]
    assert grade(page.body) <= HARDEST_GRADE
    assert "http" not in handwritten(page.body), "sources are named here and stand in the reference"
    assert not page.front


def test_the_pages_together_are_short():
    assert sum(word_count(page.body) for page in BY_HAND) <= MOST_WORDS_IN_ALL


def test_no_title_stands_twice():
    titles = [page.title for page in PAGES.values()]
    assert sorted(titles) == sorted(set(titles))


def test_what_is_broken_is_seen():
    table = "| a | b |\n| --- | --- |\n| 1 | 2 |\n"
    assert list(broken_tables(table)) == []
    assert list(broken_tables(table + "\n| 3 | 4 |\n")) == ["| 3 | 4 |"]
    assert list(broken_tables(table + "| 3 |\n")) == ["| 3 |"]


def test_words_and_grades_are_counted_as_a_reader_reads():
    page = (
        "# One title\n\nYou cut. You look at `a_file` and [read on](../x.md).\n\n```sh\nls\n```\n"
    )
    assert word_count(page) == 2 + 2 + 7
    assert [len(words) for words in sentences(page)] == [2, 7]
    spoken = {"blade": 1, "carbide": 2, "material": 4, "station": 2, "table": 2, "edges": 2,
              "stopped": 1, "uncertainty": 4, "heated": 2, "measured": 2, "why": 1}  # fmt: skip
    assert {word: syllables(word) for word in spoken} == spoken
    # Two sentences of three words of one syllable each: by hand from the formula.
    assert grade("You cut wood. We look on.") == pytest.approx(0.39 * 3 + 11.8 - 15.59)
