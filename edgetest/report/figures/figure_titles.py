"""A result with its heat treatments under their titles, as a customer is to read them."""

from dataclasses import dataclass, replace
from math import isfinite
from typing import Any

from edgetest.study.wear.group_titles import titled_comparison, titles_of
from edgetest.study.wear.headline import Headline
from edgetest.study.wear.other_levels import LevelWords

CONTROL = "Control blade"


@dataclass(frozen=True)
class Titled:
    """A study's result as a document reads it: titles, the comparison as plain values."""

    study: Any
    protocol: Any
    log: Any
    reading: str
    limit: float | str | None
    photos: tuple
    readings: tuple
    fit: Any
    has_curves: bool
    comparison: dict | None
    headline: Headline
    alternatives: tuple
    summary: str
    beside: tuple[str, ...] = ()  # readings at equal cuts and card totals, in sentences
    levels: tuple[dict, ...] = ()  # the ratio of lives to other limits, turned as the words are
    level_words: LevelWords | None = None
    limit_of_fresh: float | None = None


def with_titles(result):
    """The result with titles for ids; a title that two share would hide a difference: ids then."""
    titles = titles_of(result.study)
    comparison = result.comparison and titled_comparison(result.comparison, titles)
    words = result.level_words() if result.compared.levels else None
    return Titled(
        study=result.study,
        protocol=result.protocol,
        log=result.log,
        reading=result.reading,
        limit=result.limit if isinstance(result.limit, str) or isfinite(result.limit) else None,
        photos=result.photos,
        readings=tuple(
            replace(each, heat_treatment=titles.get(each.heat_treatment, each.heat_treatment))
            for each in result.readings
        ),
        fit=result.fit,
        has_curves=result.has_curves,
        comparison=comparison.to_dict() if comparison else None,
        headline=result.headline,
        alternatives=result.compared.alternatives,
        summary=result.summary(),
        beside=tuple(result.beside_lives()),
        levels=tuple(
            level.to_dict(turned=words is not None and words.turned)
            for level in result.compared.levels
        ),
        level_words=words,
        limit_of_fresh=result.limit_of_fresh,
    )


def treatments_of(result):
    """Heat treatment of every fitted run, in the order of the fit; a control's is "Control"."""
    by_run = {each.run: each for each in result.readings}
    control = result.study.control
    found = []
    for fit in result.fit.blades:
        fact = by_run.get(fit.blade)
        name = fact.heat_treatment if fact else ""
        found.append(CONTROL if fact and fact.blade == control else name)
    return found
