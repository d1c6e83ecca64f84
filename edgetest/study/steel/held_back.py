"""Which blades were treated like one that broke?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.broke_alike import broke_alike
from edgetest.steel.steel_seen import SteelSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.words import listed


def held_back_doubts(seen: SteelSeen) -> Iterator[Doubt]:
    """A doubt for each blade that broke and had sisters of the very treatment, whatever came since.

    Parameters
    ----------
    seen : SteelSeen
    """
    for one in broke_alike(seen):
        names = [name if of == one.piece else f"{name} of {of}" for of, name in one.like]
        yield doubt(
            "blades_held_back", blades=listed(names), broke=one.blade, piece=one.piece,
            were="was" if len(names) == 1 else "were", where=Where(STUDY_FILE, value=one.piece),
        )  # fmt: skip
