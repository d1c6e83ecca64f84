"""Pieces parted from their lot: which lot is one of such, and which of them came out as another?"""

from collections.abc import Sequence
from shlex import quote

from edgetest.steel.alike_heats import apart_though_alike, told_alike
from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen
from edgetest.steel.surely import true_readings

OWN_LOT = (
    "with a lot of its own, as in `edgetest enter STUDY --evidence pieces id={odd} --replace "
    "lot={odd}`. A further piece that comes out the same way takes the same `lot={odd}`. A lot of "
    "its own has fewer blades at stake, so known steel may be bought for it sooner."
)
SAME_WAY = "which came out the same way"
JOINED_LOT = (
    f"with the lot of {{alike}}, {SAME_WAY}, as in `edgetest enter STUDY --evidence "
    "pieces id={odd} --replace lot={join}`."
)


def named_after_one(lot: Sequence[PieceSeen]) -> bool:
    """Whether a lot has the name of one of its pieces, as a piece is parted from its lot."""
    return bool(lot) and lot[0].lot in {piece.id for piece in lot}


def parted_alike(seen: SteelSeen, odd: str) -> PieceSeen | None:
    """A piece of the same kind that was parted from its lot and came out as `odd`; None for none.

    Parameters
    ----------
    seen : SteelSeen
    odd : str
        The piece that came out unlike its lot.
    """
    own = next((piece for piece in seen.pieces if piece.id == odd), None)
    if own is None or own.origin == "unknown":
        return None
    for piece in seen.pieces:
        whole = [one for one in seen.pieces if one.lot == piece.lot]
        apart = piece.lot is not None and piece.lot != own.lot and named_after_one(whole)
        if apart and piece.origin == own.origin and _came_out_alike(seen, odd, piece.id):
            return piece
    return None


def lot_given(seen: SteelSeen, odd: str) -> str:
    """Which lot a piece that came out unlike its own is given, in words."""
    alike = parted_alike(seen, odd)
    return "a lot of its own" if alike is None else f"the lot of {alike.id}, {SAME_WAY}"


def joining_alike(cure: str, seen: SteelSeen, odd: str) -> str:
    """A cure, in which a piece that came out as one parted before is given the lot of that one."""
    alike = parted_alike(seen, odd) if OWN_LOT in cure else None
    if alike is None:
        return cure
    joined = JOINED_LOT.replace("{alike}", alike.id).replace("{join}", quote(str(alike.lot)))
    return cure.replace(OWN_LOT, joined)


def _came_out_alike(seen, one: str, other: str) -> bool:
    """Whether two pieces had heats told alike, and neither came out harder in any of them."""
    pairs = [(a, b) for a in _read(seen, one) for b in _read(seen, other) if told_alike(a, b)]
    return bool(pairs) and not any(any(apart_though_alike(a, b)) for a, b in pairs)


def _read(seen, piece: str) -> list[HeatSeen]:
    return [heat for heat in seen.heats if heat.piece == piece and true_readings(heat.hardness)]
