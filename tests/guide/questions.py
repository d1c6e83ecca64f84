"""Questions in a smith's own words, and how soon the search shows where the guide answers them."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from edgetest.store.guide_pages import guide_pages
from edgetest.store.guide_search import passages

JOBS = ("compare", "chopper", "steel")


@dataclass(frozen=True)
class Question:
    """What was asked in one of three jobs, and the places of the guide that answer it."""

    job: str
    number: int
    asked: str
    places: tuple[str, ...]

    @property
    def is_odd(self):
        """Whether the search was bettered on it."""
        return self.number % 2 == 1


def questions():
    """All of them, by their numbers."""
    text = Path(__file__).with_suffix(".toml").read_text(encoding="utf-8")
    jobs = tomllib.loads(text)
    return [
        Question(job, each["number"], each["asked"], tuple(each["places"]))
        for job in JOBS
        for each in jobs[job]
    ]


def places_of_the_guide():
    """Every place that a question may name: pages, and their headings behind #."""
    pages = guide_pages().values()
    below = {f"{page.name}#{heading}" for page in pages for heading in page.places.values()}
    return {page.name for page in pages} | below


def shown_at(question):
    """At which turn of the list, from 1, an answering passage stands; None where it does not."""
    for turn, each in enumerate(passages(question.asked), start=1):
        under = "" if each.heading == each.title else f"#{each.heading}"
        if f"{each.page}{under}" in question.places:
            return turn
    return None
