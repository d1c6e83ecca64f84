"""Which temper is to be taken: that of the blade that stood, else of the nearest reading?"""

from edgetest.steel.advised_temper import models
from edgetest.steel.steel_seen import HeatSeen, SteelSeen, TrialSeen
from edgetest.steel.tried_blades import temper_of, tried_blades
from edgetest.study.steel.evidence_words import nearest_temper, temper_line

# Beside these steps no temper is advised: the step itself says how it is tempered, or asks it.
TEMPERED_ANEW = ("heat_treat_again", "temper_ladder")


def temper_words(seen: SteelSeen, decision, piece: str | None, wanted_hrc) -> str:
    """The temper to take and what that rests on; "" where none is known to serve.

    Parameters
    ----------
    seen : SteelSeen
    decision : SteelDecision
    piece : str or None
    wanted_hrc : (float, float)
    """
    if stood := stood_words(seen, piece):
        return stood
    if decision.unmended:
        return ""
    heats, trials = _own(seen, piece)
    take = decision.action not in TEMPERED_ANEW and decision.way not in TEMPERED_ANEW
    return nearest_temper(models(heats, trials), wanted_hrc, take=take)


def stood_words(seen: SteelSeen, piece: str | None) -> str:
    """The temper that the last blade that stood was tried at; "" where none stood at the last."""
    heats, trials = _own(seen, piece)
    blades = tried_blades(trials, heats)
    if not blades or not blades[-1].stood or blades[-1].at is None:
        return ""
    temper = temper_of(blades[-1], blades, heats)
    if temper is None:
        return ""
    coupon, number = blades[-1].at
    return (
        f"The blade that stood, {coupon}, heat {number}, had: {temper_line(temper)}. Take that "
        "temper: a blade that stood tells more than a reading of a coupon."
    )


def _own(seen: SteelSeen, piece: str | None) -> tuple[list[HeatSeen], list[TrialSeen]]:
    """Heats and trials of a piece as it is."""
    heats = [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]
    return heats, [t for t in seen.trials if t.piece == piece and not t.carburised]
