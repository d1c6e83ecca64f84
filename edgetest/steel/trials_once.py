"""Which trials are of one and the same blade? Together they tell of one blade, not of several."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from edgetest.steel.piece_likelihood import SAME_FROM, SAME_TO
from edgetest.steel.steel_seen import HeatSeen, TrialSeen
from edgetest.steel.tried_blades import (
    BRITTLE,
    EDGED,
    WORST,
    life_unsure,
    spoilt_heats,
    tried_blades,
)

_TAKEN_AS = {"worse": SAME_FROM, "same": 1.0, "better": SAME_TO}  # of the known blade's life


def trials_once(trials: Sequence[TrialSeen]) -> list[TrialSeen]:
    """Trials with those of one blade as one: its gravest edge, its shortest life.

    An edge that gave out and one that stood are two things seen, and stay two; so are an edge too
    hard and one too soft, and an edge that gave out at two tempers. A trial that names no
    blade may be of another one each time. The order of the trials changes nothing.

    Parameters
    ----------
    trials : sequence of TrialSeen
        Of one piece.
    """
    found: dict[tuple, list[TrialSeen]] = {}
    for k, trial in enumerate(trials):
        work = "edge" if trial.trial in EDGED else trial.trial
        of = trial.heat, work, _how_failed(trial, trials)
        found.setdefault((k,) if trial.heat is None else of, []).append(trial)
    return [_as_one(own) for own in found.values()]


def blades_counted(trials: Iterable[TrialSeen], heats: Sequence[HeatSeen]):
    """How many blades stood, and how many gave out that do not tell of their own heat alone.

    One that stood twice is one blade, and so is one that gave out so again at its old temper.
    """
    trials = list(trials)
    blades = tried_blades(trials, heats)
    spoilt = spoilt_heats(heats)
    failed = {
        (one.at, _how_failed(replace(one.trials[-1], edge=one.gave_out), trials)) if one.at else k
        for k, one in enumerate(blades)
        if one.gave_out and one.at not in spoilt
    }
    stood = {one.at or k for k, one in enumerate(blades) if one.stood}
    return len(stood), len(failed)


def _how_failed(trial: TrialSeen, trials: Iterable[TrialSeen]):
    """Whether an edge was too hard or too soft, and its temper; None of one that stood.

    A temper not told is the only one that trials of the blade tell.
    """
    if trial.edge not in WORST:
        return None
    told = {one.temper_c for one in trials if one.heat == trial.heat and one.temper_c is not None}
    at_c = next(iter(told)) if trial.temper_c is None and len(told) == 1 else trial.temper_c
    return trial.edge in BRITTLE, at_c


def _as_one(own: Sequence[TrialSeen]) -> TrialSeen:
    """Trials of one blade as one."""
    edges = {trial.edge for trial in own}
    edge = next((each for each in (*WORST, "sound") if each in edges), None)
    return replace(min(own, key=_how_long), edge=edge)


def _how_long(trial: TrialSeen):
    """What a trial tells of the life, the shortest first; what is unsure or not told last."""
    told = trial.life_ratio is not None or trial.result is not None
    ratio = trial.life_ratio
    long = _TAKEN_AS.get(trial.result or "same", 1.0) if ratio is None else ratio
    return not told, life_unsure(trial), long, ratio is None, -(trial.life_ratio_log_u or 0.0)
