"""Are the blades of the heat treatments of different steels, so that the steel may be behind it?"""

from collections.abc import Iterator, Mapping
from typing import Any

from edgetest.doubts import Doubt, doubt
from edgetest.store.records import Study
from edgetest.study.words import listed

Met = dict[str, dict[str, str]]  # steels of a heat treatment: as compared, and as written


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
        One at most. Nothing where every heat treatment has the same steels, whose scatter is then
        in all of them, or where fewer than two heat treatments have a steel noted.
    """
    if comparison.scope == "blades":
        return
    met = _met(study, comparison)
    if len(met) < 2 or len(set(map(frozenset, met.values()))) == 1:
        return
    seen = "; ".join(
        f"{titles.get(name, name)}: {listed(list(steels.values()))}" for name, steels in met.items()
    )
    every = [set(steels) for steels in met.values()]
    apart = sum(map(len, every)) == len(set().union(*every))
    yield doubt("steel_of_one_treatment" if apart else "steels_unequal", seen=seen)


def _met(study, comparison) -> Met:
    """Steels of each compared heat treatment that has one noted, however they are spelled."""
    noted = {blade.id: " ".join(blade.steel.split()) for blade in study.blades if blade.steel}
    met: Met = {}
    for group in comparison.groups:
        for blade in group.blades:
            if steel := noted.get(blade):
                met.setdefault(group.treatment, {}).setdefault(steel.casefold(), steel)
    return met
