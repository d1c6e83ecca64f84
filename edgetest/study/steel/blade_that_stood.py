"""Which temper had the blade that stood, and which heats are no model after a blade failed?"""

from edgetest.steel.steel_seen import HeatSeen, SteelSeen
from edgetest.steel.tried_blades import TriedBlade, tried_blades, use_tempers
from edgetest.study.steel.evidence_words import temper_line


def stood_words(seen: SteelSeen, piece: str | None) -> str:
    """The temper that the last blade that stood was tried at; "" where none stood at the last."""
    blades = _blades(seen, piece)
    if not blades or not blades[-1].stood or blades[-1].at is None:
        return ""
    heat = next((h for h in _own(seen, piece) if (h.coupon, h.heat) == blades[-1].at), None)
    tempers = use_tempers(heat) if heat is not None else []
    if not tempers:
        return ""
    coupon, number = blades[-1].at
    return f"The blade that stood, {coupon}, heat {number}, had: {temper_line(tempers[-1])}."


def models(seen: SteelSeen, piece: str | None) -> list[HeatSeen]:
    """Heats of a piece whose tempers may be followed: none of a blade whose edge gave out."""
    failed = {one.at for one in _blades(seen, piece) if one.gave_out}
    stood = {one.at for one in _blades(seen, piece) if one.stood}
    return [h for h in _own(seen, piece) if (h.coupon, h.heat) not in failed - stood]


def _own(seen: SteelSeen, piece: str | None) -> list[HeatSeen]:
    return [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]


def _blades(seen: SteelSeen, piece: str | None) -> list[TriedBlade]:
    own = [trial for trial in seen.trials if trial.piece == piece and not trial.carburised]
    return tried_blades(own, _own(seen, piece))
