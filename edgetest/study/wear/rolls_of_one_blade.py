"""A roll of the medium that one blade alone met: how far could it move the answer?

What one blade of several met counts as a way in which blades differ, and its heat treatment did
not choose it: it is in the scatter, and the interval holds. But nobody measured that roll, so the
answer is told as it would be if that roll lay as far from the others as rolls usually do.
"""

from dataclasses import replace

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.study.wear.alternative_answers import finding_of
from edgetest.wear.compare.roll_shares import ASSUMED_SD_BLOCKS, TOLD, shares_of_runs


def rolls_of_one_blade(answered, runs, stages, up_to_cuts, titles):
    """The doubts about rolls that one blade alone was cut on, one a roll.

    None where half of the blades met such a roll: then rolls differ as blades do. None of a roll
    that the control blade was cut on.

    Parameters
    ----------
    answered : Answered
    runs : sequence of str
        Names of the runs, as the lives have them.
    stages : tuple of three sequences
        Run, cuts and roll of every row that was cut.
    up_to_cuts : float
        Where shares of the cutting end.
    titles : mapping of str to str
        Titles of the heat treatments by their ids.

    Returns
    -------
    list of Doubt
    """
    lives, control = answered.lives, answered.options.control
    if answered.comparison.scope == "blades":
        return []
    blade_of = dict(zip(runs, map(str, lives.blade), strict=True))
    run, cuts, roll_of = stages
    named, rolls, shares = shares_of_runs(run, cuts, roll_of, up_to_cuts)
    rows = [(blade_of[run], share) for run, share in zip(named, shares, strict=True)
            if run in blade_of]  # fmt: skip
    lone = _lone_rolls(rolls, rows, control)
    blades = {blade for blade, _ in rows} - {control}
    if 2 * len({blade for blade, _ in lone.values()}) >= len(blades):
        return []
    told = [
        _told(answered, roll, blade, share, up_to_cuts, titles)
        for roll, (blade, share) in lone.items()
    ]
    return [one for one in told if one is not None]


def _lone_rolls(rolls, rows, control):
    """Rolls that one blade alone met, for a share worth telling: each with the blade and share."""
    lone = {}
    for k, roll in enumerate(rolls):
        met = {blade: float(share[k]) for blade, share in rows if share[k] > 0}
        if roll and len(met) == 1 and control not in met and max(met.values()) >= TOLD:
            lone[roll] = next(iter(met.items()))
    return lone


def _told(answered, roll, blade, share, up_to_cuts, titles):
    """The doubt about one roll, with the answer if it were harder or milder than the others.

    None where the ratio would be the same to the digits that are shown.
    """
    given = finding_of(answered.comparison)
    moved = [_moved(answered, blade, way * share * ASSUMED_SD_BLOCKS) for way in (-1, 1)]
    turned = given.ratio.estimate < 1
    ratios = [(one.ratio.inverted() if turned else one.ratio).estimate for one in moved]
    shown = dict.fromkeys(f"{ratio:.3g}" for ratio in sorted(ratios))
    if len(shown) < 2:
        return None
    other = next((one for one in moved if one.verdict != given.verdict), None)
    names = (titles.get(name, name) for name in (given.first, given.second))
    then = other and replace(other, **dict(zip(("first", "second"), names, strict=True))).summary()
    return doubt(
        "roll_of_one_blade",
        where=Where(blade=blade),
        roll=roll,
        share=f"{100 * share:.0f} %",
        cuts=f"{up_to_cuts:.0f}",
        differ=f"{100 * ASSUMED_SD_BLOCKS:.0f} %",
        ratios=" or ".join(shown),
        then=f", and one of these would say: {then}" if then else "",
    )


def _moved(answered, blade, by):
    """What is found if a blade's lives were so much longer, on the log scale."""
    lives, given = answered.lives, finding_of(answered.comparison)
    more = by * (np.asarray(lives.blade).astype(str) == blade)
    low, high = (np.asarray(ends, dtype=float) + more for ends in (lives.log_low, lives.log_high))
    again = answered.again(replace(lives, log_low=low, log_high=high))
    return finding_of(again, given.first, given.second)
