"""What did each trial blade show, heat by heat and temper by temper; and which spoke last?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp

from edgetest.steel.fit_for_use import LEAST_LIFE
from edgetest.steel.steel_seen import HeatSeen, TemperSeen, TrialSeen
from edgetest.steel.surely import is_soft, true_readings

GAVE_OUT_EARLY = "the edge gave out early"
HALF_LIFE = 0.5  # of the known blade's; a ratio that holds it and 1 tells nothing; our choice
# What the word beside the known blade is about, as the maker reads it: a ratio and its word agree.
RESULT_MEANS = (
    "How long its edge lived beside the known blade at the same work: 'same' from "
    f"{LEAST_LIFE:g} times as long, 'worse' below that, 'better' if plainly longer."
)
LEAST_STROKES = 30  # of a chop, below which a whole edge tells nothing; our choice
EDGED = ("rope", "chop")  # trials that wear an edge
BRITTLE = {"chipped", "broke"}  # what an edge does that is too hard or too coarse
GIVEN_WAY = {"rolled", "took_a_set"}  # what an edge does that is too soft
WORST = ("broke", "chipped", "rolled", "took_a_set")  # the gravest first
_SAID = {
    "broke": "broke",
    "chipped": "chipped its edge",
    "rolled": "rolled its edge",
    "took_a_set": "took a set",
}


def blade_stood(trial: TrialSeen):
    """Whether a trial blade kept its edge whole, and lived about as long as the known one."""
    if trial.edge in WORST or life_unsure(trial):
        return False
    if trial.life_ratio is not None:
        return trial.life_ratio >= LEAST_LIFE
    return trial.result in ("same", "better")


def life_unsure(trial: TrialSeen):
    """Whether its ratio of lives may as well be half as all: it tells neither stood nor short."""
    if trial.life_ratio is None or not trial.life_ratio_log_u:
        return False
    reach = exp(2 * trial.life_ratio_log_u)  # of a 95 % interval, on the log scale
    return trial.life_ratio / reach < HALF_LIFE and trial.life_ratio * reach > 1.0


def tells_of_edge(trial: TrialSeen):
    """Whether a trial tells of an edge: work enough, or an edge that gave out at its work.

    A chip or roll where the edge hit something that is no work of such a tool, as the maker wrote
    it, tells neither way; a break tells of the steel whatever it hit, but for one at an old crack,
    which tells of the forging. So it is with an edge that
    gave out, or lived short, and was found badly sharpened. Common practice, no source. A blade
    that was made for another use tells nothing of this one's work.
    """
    if trial.made_for or trial.old_crack:
        return False
    spoilt = trial.hit or (trial.poor_edge and not blade_stood(trial))
    if spoilt and trial.edge != "broke":
        return False
    few = trial.trial == "chop" and trial.strokes is not None and trial.strokes < LEAST_STROKES
    return trial.edge in WORST or not few


def no_fault_of_steel(trial: TrialSeen):
    """Whether its maker wrote what beside the steel did it: a hit, a flaw of the forging."""
    return bool(trial.hit or trial.poor_edge or trial.made_for or trial.old_crack)


def made_elsewhere(trials: Iterable[TrialSeen]) -> list[str]:
    """Names of the blades that were tried for another use alone.

    Parameters
    ----------
    trials : iterable of TrialSeen
        Of one piece.
    """
    named = [trial for trial in trials if trial.heat is not None]
    here = {trial.heat[0] for trial in named if trial.heat and not trial.made_for}
    all_of = dict.fromkeys(trial.heat[0] for trial in named if trial.heat)
    return [name for name in all_of if name not in here]


def too_short_alone(trials: Sequence[TrialSeen]):
    """Whether trials of a blade are such of too little work alone, and none was set aside."""
    return bool(trials) and not any(tells_of_edge(t) or no_fault_of_steel(t) for t in trials)


def suspects(trial: TrialSeen) -> dict[str, str]:
    """What a hard blade did, and what may be to blame: a soft edge rolls or dulls, never chips."""
    if trial.edge == "broke":
        what, suspect = "the blade broke", "too cool a temper, coarse grain or a crack"
    elif trial.edge in BRITTLE:
        what, suspect = GAVE_OUT_EARLY, "too cool a temper or coarse grain"
    else:
        what = GAVE_OUT_EARLY
        suspect = "a soft skin, coarse grain, too short a soak or a wrong edge angle"
    return {"what": what, "suspect": suspect}


@dataclass(frozen=True)
class TriedBlade:
    """The trials of one blade as it was heated and tempered then; of no named heat: None."""

    at: tuple[str, int] | None
    trials: tuple[TrialSeen, ...]

    @property
    def gave_out(self) -> str | None:
        """The gravest that its edge did; None where no edge was seen to give out."""
        edges = {trial.edge for trial in self.trials}
        return next((edge for edge in WORST if edge in edges), None)

    @property
    def short(self):
        """Whether its last trial lived shorter than the known blade's, its edge whole."""
        last = self.trials[-1]
        told = last.life_ratio is not None or last.result is not None
        return self.gave_out is None and told and not (blade_stood(last) or life_unsure(last))

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
    edged = [trial for trial in trials if trial.trial in EDGED and tells_of_edge(trial)]
    places = list(dict.fromkeys(trial.heat for trial in reversed(edged)))[::-1]
    found = []
    for at in places:
        own = [trial for trial in edged if trial.heat == at]
        heat = next((h for h in heats if (h.coupon, h.heat) == at), None)
        runs = _runs(own, heat) if at is not None else [(trial,) for trial in own]
        found += [TriedBlade(at, run) for run in runs]
    return found


def spoilt_heats(heats: Iterable[HeatSeen]):
    """Heats of blades that were read soft, or broke coarse: spoilt in the fire.

    Such a blade says nothing of how much the steel bears.
    """
    return {
        (heat.coupon, heat.heat)
        for heat in heats
        if heat.grain == "coarse"
        or (heat.hardness and all(map(is_soft, true_readings(heat.hardness))))
    }


def use_tempers(heat: HeatSeen):
    """Tempers of a blade for its use, in order; all of them where none is marked so."""
    return [temper for temper in heat.tempers if temper.for_use] or list(heat.tempers)


def temper_of(
    blade: TriedBlade, blades: Sequence[TriedBlade], heats: Sequence[HeatSeen]
) -> TemperSeen | None:
    """The temper that a blade had when it was tried: the one its trial names, else by its run."""
    heat = next((one for one in heats if (one.coupon, one.heat) == blade.at), None)
    tempers = [] if heat is None else use_tempers(heat)
    told = [trial.temper_c for trial in blade.trials if trial.temper_c is not None]
    if told:
        named = (one for one in tempers if one.temperature_c == told[-1])
        return next(named, TemperSeen(told[-1]))
    runs = [one for one in blades if one.at == blade.at]
    return tempers[min(runs.index(blade), len(tempers) - 1)] if tempers else None


def treated(blade: TriedBlade, blades: Sequence[TriedBlade], heats: Sequence[HeatSeen]):
    """How a blade was treated when it was tried, as far as it was told; None for no named heat.

    Returns
    -------
    tuple or None
        Medium, degrees, colour and cycles of its heat, and the temper that it had, °C.
    """
    heat = next((one for one in heats if (one.coupon, one.heat) == blade.at), None)
    if heat is None:
        return None
    temper = temper_of(blade, blades, heats)
    at_c = temper and temper.temperature_c
    return heat.medium, heat.heat_c, heat.colour, heat.cycles, at_c


def temper_untried(heat: HeatSeen, runs: Sequence[TriedBlade]):
    """Whether a heat had a further temper since the last of its runs, by name or by their number.

    Parameters
    ----------
    heat : HeatSeen
    runs : sequence of TriedBlade
        Those of the heat, in order.
    """
    tempers = use_tempers(heat)
    told = [trial.temper_c for trial in runs[-1].trials if trial.temper_c is not None]
    if told and len(tempers) > 1 and tempers[-1].temperature_c is not None:
        return tempers[-1].temperature_c != told[-1]
    return len(tempers) > len(runs)


def _runs(trials, heat) -> list[tuple[TrialSeen, ...]]:
    """Trials of one heat, anew from each failure that was answered since.

    A rolled edge is sharpened again and run anew; one that chipped or broke needs a further temper,
    and a trial that names another temper than the one before was made after it.
    """
    spare = len(use_tempers(heat)) - 1 if heat is not None else 0
    runs: list[list[TrialSeen]] = [[]]
    for trial in trials:
        if runs[-1] and _tried_anew(runs[-1], trial, spare):
            spare -= any(one.edge in BRITTLE for one in runs[-1])
            runs.append([])
        runs[-1].append(trial)
    return [tuple(run) for run in runs]


def _tried_anew(run, trial, spare):
    """Whether a trial was made after the failure of a run was answered, or after another temper."""
    edges = {one.edge for one in run}
    if edges & GIVEN_WAY and not edges & BRITTLE:
        return True
    if None not in (run[-1].temper_c, trial.temper_c):
        return run[-1].temper_c != trial.temper_c
    return bool(edges & BRITTLE) and spare > 0
