"""Which blades broke at an old crack of their forging, and what is told of that?"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Annotated

from edgetest.doubts import Doubt, Where, doubt
from edgetest.steel.steel_seen import BREAKS, HEAT_BREAKS, OLD_CRACK, HeatSeen, TrialSeen
from edgetest.store.records import STUDY_FILE
from edgetest.study.steel.row_kinds import OneOf

FoundBreak = Annotated[
    str, OneOf(BREAKS, elsewhere={OLD_CRACK: "write it into the note of the piece"})
]
HeatBreak = Annotated[str, OneOf(HEAT_BREAKS)]

AT_OLD_CRACK = (
    "'old crack': a part of the break is dark or scaled, a crack or cold shut that was there "
    "before the blow. A blade that broke so is lost, and tells of its forging alone."
)


def broken_at_old_cracks(
    trials: Iterable[TrialSeen], heats: Iterable[HeatSeen]
) -> tuple[TrialSeen, ...]:
    """The trials of a study, those that broke where their heat's break shows an old crack marked.

    Parameters
    ----------
    trials, heats : iterables
        A trial belongs to the heat that it names.
    """
    cracked = {(h.piece, (h.coupon, h.heat)) for h in heats if h.fracture == OLD_CRACK}
    return tuple(
        replace(one, old_crack=one.edge == "broke" and (one.piece, one.heat) in cracked)
        for one in trials
    )


def trials_at_old_cracks(trials: Iterable[TrialSeen]) -> Iterator[Doubt]:
    """A doubt for each trial that broke at an old crack: it tells of the forging."""
    for trial in trials:
        if trial.old_crack and trial.heat is not None:
            who = f"{trial.heat[0]}, heat {trial.heat[1]}"
            at = Where(STUDY_FILE, value=f"{trial.piece}, {who}")
            yield doubt("trial_old_crack", where=at, who=who)
