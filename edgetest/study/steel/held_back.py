"""Which blades were treated like one that broke?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.blades_left import blades_held_back
from edgetest.steel.steel_seen import SteelSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.words import listed


def held_back_doubts(seen: SteelSeen) -> Iterator[Doubt]:
    """A doubt for each blade that broke and had sisters of the very treatment, whatever came since.

    Parameters
    ----------
    seen : SteelSeen
    """
    for piece in seen.pieces:
        for broke, names in blades_held_back(seen, piece.id).items():
            yield doubt(
                "blades_held_back", blades=listed(names), broke=broke, piece=piece.id,
                were="was" if len(names) == 1 else "were", where=Where(STUDY_FILE, value=piece.id),
            )  # fmt: skip
