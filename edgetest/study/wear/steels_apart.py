"""Are the blades of the heat treatments of different steels, so that the steel may be behind it?"""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import combinations
from math import comb
from typing import Any

from edgetest.doubts import Doubt, doubt
from edgetest.store.records import Study
from edgetest.study.treatment_questions import steels_treated_alike
from edgetest.study.words import listed

Met = dict[str, list[tuple[str, str]]]  # steels of each blade: as compared, and as written
HALF_A_BLADE = 0.5  # of the largest heat treatment: nearer, shares of unequal numbers cannot come


def steel_doubts(study: Study, comparison: Any, titles: Mapping[str, str]) -> Iterator[Doubt]:
    """Whether a steel may pass for a heat treatment, wholly or in part.

    Parameters
    ----------
    study : Study
        Its blades, with `steel` where it is noted.
    comparison : Comparison
    titles : mapping of str to str
        Titles of the heat treatments by their ids.

    Yields
    ------
    Doubt
        Of steels that were treated alike, that they are what is compared. Of others one at most:
        nothing where every heat treatment has the same share of each steel, whose scatter is then
        alike in all of them, or where fewer than two have a steel noted.
    """
    if comparison.scope == "blades":
        return
    met = _met(study, comparison)
    if len(met) < 2:
        return
    counts = {name: Counter(steel for steel, _ in blades) for name, blades in met.items()}
    written = {steel: as_written for blades in met.values() for steel, as_written in blades[::-1]}
    every = set().union(*counts.values())
    compared = list(_compared(study, counts, titles, written))
    yield from compared
    if len(compared) == comb(len(comparison.groups), 2):
        return
    if sum(map(len, counts.values())) == len(every):
        seen = _seen(counts, titles, lambda steel, _: written[steel])
        yield doubt("steel_of_one_treatment", seen=seen)
    elif any(_unequal(first, second, every) for first, second in combinations(counts.values(), 2)):
        seen = _seen(counts, titles, lambda steel, count: f"{count} of {written[steel]}")
        yield doubt("steels_unequal", seen=seen)


def _compared(study, counts, titles, written):
    """The doubt of each pair of steels that were treated alike."""
    for pair in steels_treated_alike(study):
        if not all(each.id in counts for each in pair):
            continue
        first, second = (titles.get(each.id, each.id) for each in pair)
        seen = _seen({e.id: counts[e.id] for e in pair}, titles, lambda steel, _: written[steel])
        yield doubt("steels_compared", first=first, second=second, seen=seen)


def _seen(counts, titles, words):
    """The steels of each heat treatment, each in words."""
    return "; ".join(
        f"{titles.get(name, name)}: {listed([words(*each) for each in steels.items()])}"
        for name, steels in counts.items()
    )


def _unequal(first, second, every):
    """Whether two heat treatments have shares of a steel further apart than they must be."""
    sizes = first.total(), second.total()
    apart = max(abs(first[steel] / sizes[0] - second[steel] / sizes[1]) for steel in every)
    return apart > HALF_A_BLADE / max(sizes)


def _met(study, comparison) -> Met:
    """Steels of the blades of each compared heat treatment, however spelled, where noted."""
    noted = {blade.id: " ".join(blade.steel.split()) for blade in study.blades if blade.steel}
    met: Met = {}
    for group in comparison.groups:
        for blade in group.blades:
            if steel := noted.get(blade):
                met.setdefault(group.treatment, []).append((steel.casefold(), steel))
    return met
