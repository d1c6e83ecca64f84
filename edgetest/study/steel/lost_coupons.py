"""Which coupons were lost before anyone read them, as their notes say?"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.store.records import STUDY_FILE

# "lost in the fire"; not "lost its colour", which is no coupon that is gone.
_LOST = re.compile(
    r"\blost\b(?!\s+(?:its|the|some|all|most|carbon|colou?r|magnet\w*|heat|temper)\b)", re.I
)

Place = tuple[str, str, int]  # piece, coupon, heat


def said_lost(note: str) -> bool:
    """Whether the note of a heat says that its coupon is gone."""
    return bool(_LOST.search(note or ""))


def lost_unread(noted: SteelSeen, said: Iterable[Place]) -> list[HeatSeen]:
    """Heats said to be lost of which nothing was read, tempered or tried, each a quench.

    Parameters
    ----------
    noted : SteelSeen
    said : iterable of (str, str, int)
        Piece, coupon and heat of each row whose note says so.
    """
    places, tried = set(said), {(one.piece, *(one.heat or ())) for one in noted.trials}
    return [
        heat for heat in noted.heats
        if (at := (heat.piece, heat.coupon, heat.heat)) in places and at not in tried
        and not heat.hardness and not heat.tempers and not heat.untold and heat.grain is None
        and heat.fracture is None and heat.cracked is None
    ]  # fmt: skip


def without_heats(seen: SteelSeen, lost: Iterable[HeatSeen]) -> SteelSeen:
    """The same without heats that tell nothing, for nobody can read them any more."""
    gone = list(lost)
    return replace(seen, heats=tuple(heat for heat in seen.heats if heat not in gone))


def lost_doubts(lost: Iterable[HeatSeen]) -> Iterator[Doubt]:
    """A doubt for each of them: it counts as none."""
    for heat in lost:
        who = f"Coupon {heat.coupon} of {heat.piece}, heat {heat.heat},"
        at = Where(STUDY_FILE, value=f"{heat.piece}, {heat.coupon}, heat {heat.heat}")
        yield doubt("coupon_lost", where=at, who=who)
