"""Which words does a question ask for, and by which other words may the guide say the same?"""

import re
import tomllib
from functools import lru_cache
from itertools import pairwise

from edgetest.store.guide_pages import FOLDER

LETTERS = re.compile(r"\w+")
MOST_WORDS = 32  # of a question
# A question that holds one of these asks what a word means.
OF_MEANING = re.compile(r"\b(?:mean|means|meant|meaning|what ?['’]?s an?|what is an?)\b")


def asked_for(question: str) -> list[str]:
    """The words of a question that say something of its matter; all of them where none does."""
    words = list(dict.fromkeys(LETTERS.findall(question.lower())))
    empty = _trade_words()["empty"]
    return ([word for word in words if word not in empty] or words)[:MOST_WORDS]


def asks_a_meaning(question: str) -> bool:
    """Does it ask what a word means?"""
    return bool(OF_MEANING.search(question.lower()))


def also_said(words: list[str]) -> dict[str, frozenset[str]]:
    """Each word or pair of neighbours that a smith says otherwise, with the guide's words."""
    known = _trade_words()
    asked = [each for each in (*words, *map(" ".join, pairwise(words))) if each != "empty"]
    return {each: known[each] for each in asked if each in known}


@lru_cache(maxsize=1)
def _trade_words() -> dict[str, frozenset[str]]:
    text = (FOLDER / "trade_words.toml").read_text(encoding="utf-8")
    topics = tomllib.loads(text).values()
    return {word: frozenset(guide) for topic in topics for word, guide in topic.items()}
