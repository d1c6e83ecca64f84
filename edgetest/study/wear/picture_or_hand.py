"""Where does the picture say keen and the hand say dull? A worn round apex shows a narrow line."""

from collections import defaultdict
from dataclasses import dataclass
from math import inf, isnan, nan

import numpy as np

from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.study.wear.grading import gives_lives, ladder_of

FORCES = ("sever_force_gf", "rope_force_n")
# A force that has doubled counts as dull: the limit of the thread protocol, twice a fresh edge.
FORCE_DULL = 2.0
# Force rises no faster than the width does, from an offset; so twice the force takes at least
# twice the width. Half of that rise is left for what both readings scatter.
LINE_KEEN = 1.5
MOST_TOLD = 6


@dataclass(frozen=True)
class AgainstHand:
    """Stages at which the picture says keen and the hand dull.

    `stages` are (run, cuts); `rows` the log's rows with their widths.
    """

    stages: tuple[tuple[str, float], ...] = ()
    rows: tuple[int, ...] = ()
    doubts: tuple[Doubt, ...] = ()


NOTHING_AGAINST = AgainstHand()


def pictures_against_hand(source, readings, run_of):
    """Stages whose photographs show an edge as narrow as fresh where the hand finds it dull.

    Parameters
    ----------
    source : Source
        Its log holds what the hand found: grades, pass and fail, forces.
    readings : sequence of UsedReading
        Edge widths; those from photographs are asked.
    run_of : dict
        A run's name by (blade, block).

    Returns
    -------
    AgainstHand
        Keen is no wider than `LINE_KEEN` times the run's fresh edge, or too narrow to be resolved;
        dull is the lower half of a ladder of grades, duller than fresh, a fail, or `FORCE_DULL`
        times the fresh force.
    """
    of_pictures = [one for one in readings if one.source == "photograph" and not one.excluded]
    if not of_pictures:
        return NOTHING_AGAINST
    dull = _dull_stages(source, run_of)
    keen = _keen_stages(of_pictures) if dull else set()
    stages = sorted(set(dull) & keen)
    if not stages:
        return NOTHING_AGAINST
    rows = [one.line for one in of_pictures if (one.run, one.cuts) in stages]
    hands = dict.fromkeys(word for stage in stages for word in dull[stage])
    said = doubt("keen_in_the_picture", hand=" and ".join(hands), places=_places(stages))
    return AgainstHand(tuple(stages), tuple(rows), (said,))


def _keen_stages(readings):
    """Stages (run, cuts), worn ones, whose line is about as narrow as that of the fresh edge."""
    lines = defaultdict(list)
    for one in readings:
        bound = isnan(one.value)
        lines[one.run, one.cuts].append((one.upper if bound else one.value, bound))
    middle = {
        stage: float(np.median([line for line, _ in lines])) for stage, lines in lines.items()
    }
    fresh = _fresh(middle)
    return {
        stage
        for stage, of_stage in lines.items()
        if stage[1] > 0
        and (
            all(bound for _, bound in of_stage)
            or middle[stage] <= LINE_KEEN * fresh.get(stage[0], nan)
        )
    }


def _dull_stages(source, run_of):
    """What in the hand says dull, by stage (run, cuts), worn ones."""
    found: dict[tuple[str, float], list[str]] = defaultdict(list)
    names = source.log.reading_names
    for name in names:
        ladder = _ladder(source, name)
        if ladder:
            ranks = _by_stage(source, run_of, name, lambda reading: reading.rank)
            middle, fresh = (len(ladder) - 1) / 2, _fresh(ranks)
            for stage, rank in ranks.items():
                if stage[1] > 0 and rank > max(middle, fresh.get(stage[0], middle)):
                    found[stage].append("the " + name.replace("pass_fail", "pass or fail"))
    for name in (name for name in FORCES if name in names):
        forces = _by_stage(source, run_of, name, lambda reading: reading.value)
        fresh = _fresh(forces)
        for stage, force in forces.items():
            if stage[1] > 0 and force >= FORCE_DULL * fresh.get(stage[0], inf):
                found[stage].append("the force")
    return dict(found)


def _ladder(source, name):
    """Grades of a column from sharpest to dullest; empty for numbers and for no order."""
    if name in FORCES or not gives_lives(source, name):
        return ()
    try:
        return ladder_of(source, name)
    except UnusableInput:
        return ()


def _by_stage(source, run_of, name, take):
    """Median of a column by stage (run, cuts), excluded rows left out."""
    values = defaultdict(list)
    for row in source.log.rows:
        reading = row.readings.get(name)
        value = None if reading is None or row.exclude else take(reading)
        if value is not None:
            values[run_of[row.blade, row.block], float(row.cuts)].append(value)
    return {stage: float(np.median(each)) for stage, each in values.items()}


def _fresh(by_stage):
    """Each run's reading before the first cut; the median of the others' where it has none."""
    own = {run: value for (run, cuts), value in by_stage.items() if cuts == 0}
    if not own:
        return {}
    usual = float(np.median(list(own.values())))
    return {run: own.get(run, usual) for run, _ in by_stage}


def _places(stages):
    """Stages in words: "H1 at 200 and 400 cuts; S2 at 400 cuts"."""
    cuts = defaultdict(list)
    for run, stage in stages[:MOST_TOLD]:
        cuts[run].append(f"{stage:g}")
    told = "; ".join(f"{run} at {' and '.join(each)} cuts" for run, each in cuts.items())
    more = len(stages) - MOST_TOLD
    return f"{told} and {more} more" if more > 0 else told
