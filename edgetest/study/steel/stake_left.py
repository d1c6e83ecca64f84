"""Which blades of its lot are at stake with a piece, once its sisters are known not to serve?"""

from dataclasses import replace

from edgetest.steel.steel_seen import SteelSeen

NOT_FOR_THIS = ("light_use", "leave")  # steps that make no blade of those wanted


def without_unfit_sisters(verdicts, seen: SteelSeen, piece: str) -> SteelSeen | None:
    """What was seen, no blade counted of sisters that serve no more; None where none is counted.

    Parameters
    ----------
    verdicts : iterable of PieceVerdict
        On all pieces.
    seen : SteelSeen
    piece : str
        The one whose stake is told.
    """
    lots = {one.id: one.lot for one in seen.pieces}
    unfit = {
        one.piece for one in verdicts
        if one.decision.action in NOT_FOR_THIS and one.piece != piece
        and lots.get(piece) is not None and lots.get(one.piece) == lots[piece]
    }  # fmt: skip
    if not any(one.makes_blades for one in seen.pieces if one.id in unfit):
        return None
    pieces = (replace(one, makes_blades=0.0) if one.id in unfit else one for one in seen.pieces)
    return replace(seen, pieces=tuple(pieces))
