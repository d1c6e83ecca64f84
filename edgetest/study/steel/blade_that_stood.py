"""Which temper is to be taken: that of the blade that stood, else of the nearest reading?"""

from edgetest.steel.advised_temper import advised_c, models
from edgetest.steel.broke_alike import broke_like
from edgetest.steel.cooler_heat import AS_HOT
from edgetest.steel.further_tempers import OVEN_C
from edgetest.steel.steel_seen import HeatSeen, SteelSeen, TemperSeen, TrialSeen
from edgetest.steel.surely import high_of, low_of, true_readings
from edgetest.steel.tried_blades import temper_of, tried_blades
from edgetest.study.steel.evidence_words import heated_words, nearest_temper, temper_line

# Beside these steps no temper is advised: the step itself says how it is tempered, or asks it.
UNCHECKED_OVEN = (
    "No thermometer checked your oven: its degrees may be off, and the chances take them as "
    "written. Stay with that oven, and let the file on each coupon and blade decide."
)
TAKE_IT = "Take that temper: a blade that stood tells more than a reading of a coupon."
TEMPERED_ANEW = ("heat_treat_again", "temper_ladder")


def temper_words(seen, decision, piece, wanted_hrc, oven_checked: bool | None = None) -> str:
    """The temper to take and what that rests on; "" where none is known to serve.

    Parameters
    ----------
    seen : SteelSeen
    decision : SteelDecision
    piece : str or None
    wanted_hrc : (float, float)
    oven_checked : bool, optional
        Whether a thermometer beside the coupon told the degrees; None where nobody wrote it.
    """
    told = not _quenched_hotter(decision)
    said = _temper_words(seen, decision, piece, wanted_hrc) if told else ""
    return f"{said} {UNCHECKED_OVEN}" if said and oven_checked is False else said


def _temper_words(seen: SteelSeen, decision, piece: str | None, wanted_hrc) -> str:
    if stood := stood_words(seen, piece, wanted_hrc):
        return stood
    if decision.unmended:
        return ""
    heats, trials = _own(seen, piece)
    take = decision.action not in TEMPERED_ANEW and decision.way not in TEMPERED_ANEW
    first = getattr(decision, "tempers_first", None)  # no other degrees stand beside its own
    take = take and (first is None or first.temper_c == advised_c(heats, trials, wanted_hrc))
    gave = "" if decision.action == "reuse_trial" else _gave_out_at(heats, trials, wanted_hrc)
    take = take and not gave
    said = nearest_temper(models(heats, trials), wanted_hrc, take=take, trials=trials)
    said += gave if said else ""
    doubted = [one for one in decision.remarks if one.code == "temper_read_up"]
    if said and {one.piece for one in doubted} & {heat.piece for heat in heats}:
        said += " A coupon read harder after a temper: read it again before you go by this."
    return said


def _quenched_hotter(decision) -> bool:
    """Whether a step goes to the heat of a harder one: no temper after the cooler is gone by."""
    return any(AS_HOT in reason for reason in getattr(decision, "reasons", ()))


def _gave_out_at(heats, trials, wanted_hrc) -> str:
    """That the blade tried last gave out at the temper that the readings would advise; or ""."""
    blades = tried_blades(trials, heats)
    if not blades or not blades[-1].gave_out or blades[-1].at is None:
        return ""
    had, advised = temper_of(blades[-1], blades, heats), advised_c(heats, trials, wanted_hrc)
    if had is None or had.temperature_c is None or advised is None:
        return ""
    if abs(had.temperature_c - advised) > OVEN_C:
        return ""
    return f" {blades[-1].at[0]} gave out so tempered: take it for no blade before you know why."


def stood_words(seen: SteelSeen, piece: str | None, wanted_hrc: tuple[float, float]) -> str:
    """The temper that the last blade that stood was tried at; "" where none stood at the last.

    Where it read beside the hardness wanted, or was hardened again since, that is said too.
    """
    heats, trials = _own(seen, piece)
    blades = tried_blades(trials, heats)
    if not blades or not blades[-1].stood or blades[-1].at is None:
        return ""
    temper = temper_of(blades[-1], blades, heats)
    if temper is None:
        return ""
    coupon, number = blades[-1].at
    tried, broke = {one.at for one in blades}, broke_like(seen, piece, coupon)
    anew = [h.heat for h in heats if h.coupon == coupon and h.heat > number]
    how = next((heated_words(h) for h in heats if (h.coupon, h.heat) == (coupon, number)), "")
    said = (
        f"The blade that stood, {coupon}, heat {number}, had: {f'{how}; ' if how else ''}"
        f"{temper_line(temper)}. {TAKE_IT if broke is None else broke.instead()}",
        _beside(temper, wanted_hrc),
        f"{coupon} was hardened again since, and heat {anew[-1]} needs a trial of its own."
        if anew and (coupon, anew[-1]) not in tried
        else "",
    )
    return " ".join(filter(None, said))


def _beside(temper: TemperSeen, wanted_hrc: tuple[float, float]) -> str:
    """That the blade that stood read softer or harder than wanted; "" where it did not."""
    read = true_readings(temper.hardness)
    mean = [(low_of(one) + high_of(one)) / 2 for one in read]  # a bracket may touch
    softer = bool(read) and max(mean) < wanted_hrc[0] >= max(map(high_of, read))
    harder = bool(read) and min(mean) > wanted_hrc[1] <= min(map(low_of, read))
    if not softer and not harder:
        return ""
    how, low, high = "softer" if softer else "harder", *wanted_hrc
    return (
        f"It read {how} than the {low:g} to {high:g} HRC wanted, and stood: it speaks for blades "
        "of its own hardness alone."
    )


def _own(seen: SteelSeen, piece: str | None) -> tuple[list[HeatSeen], list[TrialSeen]]:
    """Heats and trials of a piece as it is."""
    heats = [heat for heat in seen.heats if heat.piece == piece and not heat.carburised]
    return heats, [t for t in seen.trials if t.piece == piece and not t.carburised]
