"""How many words has a page of the guide, and how hard is it to read?

Reading grade after Kincaid, Fishburne, Rogers and Chissom (1975), *Derivation of new readability
formulas*: 0.39 words a sentence + 11.8 syllables a word - 15.59. Syllables are counted by the
groups of vowels in a word; common practice, no source.

Run: python -m tests.guide.measure [FILE ...]
"""

import re
import sys
from pathlib import Path

from edgetest.store.guide_pages import FENCE, FOLDER, GuidePage, guide_pages

MOST_WORDS = {"start": 1500, "how_to": 600, "why": 1200}
MOST_WORDS_IN_ALL = 12_000
HARDEST_GRADE = 9.0
GENERATED = re.compile(r"^<!-- table: \w+ -->$.*?^<!-- end of table -->$", re.DOTALL | re.MULTILINE)

PICTURE = re.compile(r"^!\[.*$", re.MULTILINE)
TABLE_ROW = re.compile(r"^\|.*$", re.MULTILINE)
HEADING_LINE = re.compile(r"^#.*$", re.MULTILINE)
CODE = re.compile(r"`[^`\n]+`")
TARGET = re.compile(r"\]\([^)]*\)")
WORD = re.compile(r"[A-Za-zÀ-ÿ][\w'’-]*|\d[\d.,]*")
SENTENCE_END = re.compile(r"(?<=[.!?])[)\"'*_’”]*\s+|\n\s*\n|\n(?=\s*(?:[-*]|\d+\.) )")


def handwritten(text):
    """A page without what a command writes into it, and without blocks of code."""
    return FENCE.sub("", GENERATED.sub("", text))


def word_count(text):
    """Words that a reader has to read: headings, lists and tables too, code not."""
    plain = TARGET.sub("]", CODE.sub("it", handwritten(text)))
    return len(WORD.findall(plain))


def sentences(text):
    """The sentences of the running text; each item of a list is one at least."""
    plain = handwritten(text)
    for nothing in (PICTURE, TABLE_ROW, HEADING_LINE):
        plain = nothing.sub("\n", plain)
    plain = TARGET.sub("]", CODE.sub("it", plain)).replace("e.g.", "eg")
    found = [WORD.findall(part) for part in SENTENCE_END.split(plain)]
    return [words for words in found if words]


def syllables(word):
    """Syllables of an English word, by its groups of vowels."""
    word = re.sub(r"[^a-z]", "", word.lower())
    if len(word) <= 3:
        return 1
    count = len(re.findall(r"[aeiouy]+", word))
    count += len(re.findall(r"(?<![ctsg])i[ao](?!u)|[^aeiouyq]ua[tl]|eo(?!u|p|r)", word))
    if re.search(r"(?<![aeiouyl])e$|[aeiouyr]le$|(?<![td])ed$|(?<![scgxz])(?<!sh)(?<!ch)es$", word):
        count -= 1
    return max(count, 1)


def grade(text):
    """Flesch-Kincaid grade of the running text; 0.0 where there is none."""
    found = sentences(text)
    words = [word for each in found for word in each]
    if not words:
        return 0.0
    spoken = sum(syllables(part) for word in words for part in re.split(r"[-’']", word) if part)
    return 0.39 * len(words) / len(found) + 11.8 * spoken / len(words) - 15.59


def main(files):
    """Print words, grade and the longest sentence of each page, and the sum of words."""
    if files:
        pages = [GuidePage(name_of(Path(file)), Path(file).read_text("utf-8")) for file in files]
    else:
        pages = [page for page in guide_pages().values() if page.kind in MOST_WORDS]
    for page in pages:
        longest = max(map(len, sentences(page.body)), default=0)
        most = MOST_WORDS.get(page.kind, 0)
        said = f"{word_count(page.body):6} of {most:5}  grade {grade(page.body):5.1f}"
        print(f"{said}  longest sentence {longest:3}  {page.name}")
    print(f"{sum(word_count(page.body) for page in pages):6} words in {len(pages)} pages")


def name_of(path):
    """Folder and name of a page that may not stand in the guide yet."""
    path = path.resolve()
    inside = FOLDER in path.parents
    place = path.relative_to(FOLDER) if inside else Path(path.parent.name, path.name)
    return place.with_suffix("").as_posix()


if __name__ == "__main__":
    main(sys.argv[1:])
