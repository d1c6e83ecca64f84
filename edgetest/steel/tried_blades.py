"""What did each trial blade show, heat by heat and temper by temper; and which spoke last?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from edgetest.steel.fit_for_use import LEAST_LIFE
from edgetest.steel.steel_seen import HeatSeen, TrialSeen
from edgetest.steel.surely import is_soft, true_readings

EDGED = ("rope", "chop")  # trials that wear an edge
BRITTLE = {"chipped", "broke"}  # what an edge does that is too hard or too coarse
GIVEN_WAY = {"rolled", "took_a_set"}  # what an edge does that is too soft
_WORST = ("broke", "chipped", "rolled", "took_a_set")  # the gravest first
_SAID = {
    "broke": "broke",
    "chipped": "chipped its edge",
    "rolled": "rolled its edge",
    "took_a_set": "took a set",
}


def blade_stood(trial: TrialSeen):
    """Whether a trial blade kept its edge whole, and lived about as long as the known one."""
    if trial.edge in _WORST:
        return False
    if trial.life_ratio is not None:
        return trial.life_ratio >= LEAST_LIFE
    return trial.result in ("same", "better")


@dataclass(frozen=True)
class TriedBlade:
    """The trials of one blade as it was heated and tempered then; of no named heat: None."""

    at: tuple[str, int] | None
    trials: tuple[TrialSeen, ...]

    @property
    def gave_out(self) -> str | None:
        """The gravest that its edge did; None where no edge was seen to give out."""
        edges = {trial.edge for trial in self.trials}
        return next((edge for edge in _WORST if edge in edges), None)

    @property
    def short(self):
        """Whether its last trial lived shorter than the known blade's, its edge whole."""
        last = self.trials[-1]
        told = last.life_ratio is not None or last.result is not None
        return self.gave_out is None and told and not blade_stood(last)

    @property
    def stood(self):
        """Whether it stood at the last, and nothing gave out."""
        return self.gave_out is None and blade_stood(self.trials[-1])

    def words(self):
        """What it did, as a maker reads it: "blade1, heat 1, rolled its edge"."""
        who = "The trial blade" if self.at is None else f"{self.at[0]}, heat {self.at[1]},"
        return f"{who} {_SAID.get(self.gave_out or '', 'lived shorter than the known blade')}"


def tried_blades(trials: Iterable[TrialSeen], heats: Sequence[HeatSeen]) -> list[TriedBlade]:
    """Every blade that was tried at an edge, each heat, and each run since a failure, apart.

    Parameters
    ----------
    trials : iterable of TrialSeen
        Of one piece, in the order they were written down.
    heats : sequence of HeatSeen
        Of the piece, each once.

    Returns
    -------
    list of TriedBlade
        The one tried last stands last.
    """
    edged = [trial for trial in trials if trial.trial in EDGED]
    places = list(dict.fromkeys(trial.heat for trial in reversed(edged)))[::-1]
    found = []
    for at in places:
        own = [trial for trial in edged if trial.heat == at]
        heat = next((h for h in heats if (h.coupon, h.heat) == at), None)
        runs = _runs(own, heat) if at is not None else [(trial,) for trial in own]
        found += [TriedBlade(at, run) for run in runs]
    return found


def blades_counted(trials: Iterable[TrialSeen], heats: Sequence[HeatSeen]):
    """How many blades stood, and how many gave out that do not tell of their own heat alone.

    A blade that was read soft, or broke coarse, was spoilt in the fire: it says nothing of how
    much the steel bears.
    """
    blades = tried_blades(trials, heats)
    spoilt = {
        (heat.coupon, heat.heat)
        for heat in heats
        if heat.grain == "coarse"
        or (heat.hardness and all(map(is_soft, true_readings(heat.hardness))))
    }
    failed = [one for one in blades if one.gave_out and one.at not in spoilt]
    return sum(one.stood for one in blades), len(failed)


def use_tempers(heat: HeatSeen):
    """Tempers of a blade for its use, in order; all of them where none is marked so."""
    return [temper for temper in heat.tempers if temper.for_use] or list(heat.tempers)


def _runs(trials, heat) -> list[tuple[TrialSeen, ...]]:
    """Trials of one heat, anew from each failure that was answered since.

    A rolled edge is sharpened again and run anew; one that chipped or broke needs a further temper.
    """
    spare = len(use_tempers(heat)) - 1 if heat is not None else 0
    runs: list[list[TrialSeen]] = [[]]
    for trial in trials:
        edges = {one.edge for one in runs[-1]}
        brittle = bool(edges & BRITTLE)
        if (brittle and spare > 0) or (edges & GIVEN_WAY and not brittle):
            runs.append([])
            spare -= brittle
        runs[-1].append(trial)
    return [tuple(run) for run in runs]
