"""Was the toughness of a piece tried at the temper that is to be used, or at another one?"""

from collections.abc import Iterable

from edgetest.doubts import Doubt, doubt
from edgetest.steel.advised_temper import advised_c
from edgetest.steel.further_tempers import OVEN_C
from edgetest.steel.situation import Situation
from edgetest.steel.steel_seen import HeatSeen, TrialSeen
from edgetest.steel.tried_blades import BRITTLE, EDGED

TOUGH = ("brass_rod", "bend", "chop")  # trials that tell of toughness
ON_A_COUPON = ("brass_rod", "bend")
WHICH_TEMPER = "tough_at_which_temper"
ANOTHER_TEMPER = "tough_at_another_temper"


def tempered_at(at: Situation, trial: TrialSeen) -> float | None:
    """The temper that a coupon had when it was tried, °C; None where that is not sure."""
    if trial.temper_c is not None:
        return trial.temper_c
    known = _tempers_of(at, trial)
    return known[0] if len(known) == 1 else None


def _tempers_of(at, trial):
    """The tempers, each once, that a coupon may have had when it was tried, °C or None."""
    own = [heat for heat in at.heats if trial.heat in (None, (heat.coupon, heat.heat))]
    return list(dict.fromkeys(temper.temperature_c for heat in own for temper in heat.tempers))


def at_degrees(tempers_c: Iterable[float | None]) -> str:
    """Tempers in words, °C, in their order; those without degrees last."""
    every = list(tempers_c)
    told = [f"{one:.0f}" for one in every if one is not None]
    *first, last = told or [""]
    said = f"at {', '.join(first)}{' and ' * bool(first)}{last} °C" if told else ""
    bare = "without degrees" if None in every else ""
    return " and ".join(filter(None, (said, bare)))


def holds_there(at: Situation, trial: TrialSeen):
    """Whether a trial of toughness holds for the temper to take; a chopped blade tells of its own.

    Where no temper is advised yet, whatever was tried counts.
    """
    if trial.trial in EDGED:
        return True
    take, had = advised_c(at.heats, at.trials, at.wanted), tempered_at(at, trial)
    return take is None or (had is not None and abs(had - take) <= OVEN_C)


def tough_tried(at: Situation):
    """Whether any trial of toughness holds for the temper to take."""
    return any(holds_there(at, one) for one in at.trials if one.trial in TOUGH)


def tough_elsewhere(at: Situation) -> tuple[Doubt, ...]:
    """The doubt that toughness was tried, but of another temper or of one that is not told.

    Of several tempers of its coupon none is taken for the trial's: which one it had is asked.
    """
    tried = [one for one in at.trials if one.trial in ON_A_COUPON]
    if not tried or tough_tried(at):
        return ()
    had, take = tempered_at(at, tried[-1]), advised_c(at.heats, at.trials, at.wanted)
    test, takes = tried[-1].trial.replace("_", " "), f"{take:.0f} °C"
    if had is None and len(several := _tempers_of(at, tried[-1])) > 1:
        return (doubt(WHICH_TEMPER, test=test, had=at_degrees(several), take=takes),)
    told = "a temper that nobody noted" if had is None else f"a temper at {had:.0f} °C"
    return (doubt(ANOTHER_TEMPER, test=test, had=told, take=takes),)


def past_c(at: Situation, heat: HeatSeen | None) -> float | None:
    """The temper to take, °C, where a coupon was tempered hotter since; None where it was not."""
    if heat is None or not heat.tempers:
        return None
    take, had = advised_c(at.heats, at.trials, at.wanted), heat.tempers[-1].temperature_c
    past = take is not None and had is not None and had > take + OVEN_C
    return take if past else None


def rod_answered(at: Situation, trial: TrialSeen):
    """Whether a coupon that chipped or broke so has had a temper of other degrees since."""
    if trial.trial not in ON_A_COUPON or trial.edge not in BRITTLE or trial.temper_c is None:
        return False
    own = [heat for heat in at.heats if trial.heat == (heat.coupon, heat.heat)]
    tempers = [temper.temperature_c for heat in own for temper in heat.tempers]
    last = tempers[-1] if tempers else None
    return last is not None and abs(last - trial.temper_c) > OVEN_C
