"""Did the heat treatments share the rolls of the medium, stage by stage, and if not, what then?

A block (column block) is the roll of a whole run, and the comparison weighs it. A run may change
its roll half-way (column batch): what the second roll did is in the ratio of those who met it
earlier, and no scatter between blades shows it. Where the shares of the cutting differ a little,
what rolls usually differ by is added to the interval; the answer is told with and without it.
Where half the cutting was not shared, that assumption would be the answer, and none is given: as
for a block that held one heat treatment alone. `tests.benchmarks.roll_worlds` has the figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, inf, isfinite, log, log1p
from typing import Any

import numpy as np
from scipy.special import ndtri

from edgetest.doubts import doubt
from edgetest.store.logs import Log
from edgetest.study.wear.alternative_answers import Alternative, Finding, changed, finding_at_cuts
from edgetest.study.wear.asked_of_rolls import rows_cut, shares_apart, shares_in_words
from edgetest.study.wear.rolls_cut import roll_of_rows
from edgetest.study.wear.rolls_of_one_blade import rolls_of_one_blade
from edgetest.study.words import listed
from edgetest.wear.compare.comparison_result import Comparison, exp_or_open
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.compare.roll_shares import (
    ASSUMED_SD_BLOCKS,
    TOO_FAR,
    roll_shares,
    shares_of_runs,
)
from edgetest.wear.compare.verdict_on_ratio import verdict_between

WHAT = "what the rolls differ by"
ALIKE, COUNTED = "As if all rolls were alike", f"With {WHAT} counted in"


@dataclass(frozen=True)
class OnRolls:
    """What is compared, run by run, and the rolls it was cut on.

    `findings` are those of the pairs, that of the headline first, each with the ends of the two
    one-sided tests; `sd_rolls` is the SD of what is compared, on the log scale, from roll to roll.
    """

    log: Log
    used: Sequence[Any]  # UsedReading
    runs: tuple[str, ...]  # names, as `lives` has them
    lives: BladeLives
    comparison: Comparison
    up_to_cuts: float
    control: str | None = None
    findings: tuple[Finding, ...] = ()
    sd_rolls: float = ASSUMED_SD_BLOCKS


def rolls_behind(on, titles):
    """The other answer, with what rolls may differ by; or the doubt that tells of the shares.

    Parameters
    ----------
    on : OnRolls
    titles : mapping of str to str
        Titles of the heat treatments by their ids.

    Returns
    -------
    list of Alternative, list of Doubt
        One at most in all; of several pairs the other answer is of the first that it changes.
    """
    about, unlike = _unlike(on, titles)
    if about is None or on.comparison.scope == "blades":
        return [], [about] if about else []
    tried = [(given, _widened(given, shares, on)) for given, shares in unlike]
    for given, other in tried:
        if changed(given, other):
            one = Alternative(WHAT, given, other, about, ALIKE, COUNTED).titled(titles)
            return [one], [one.told()]
    given, other = tried[0]
    one = Alternative(WHAT, given, other, about, ALIKE, COUNTED, decides=False)
    return [], [one.titled(titles).told()]


def rolls_at_cuts(log, used, names, columns, at_cuts, options, titles):
    """As `rolls_behind`, of readings at equal cuts that answer in place of the lives.

    Parameters
    ----------
    log : RetentionLog
    used : sequence of UsedReading
    names : sequence of str
        Of the runs, as `columns` has them.
    columns : BladeLives
        Log readings at these cuts.
    at_cuts : AtCuts
    options : AnalysisOptions
    titles : mapping of str to str

    Returns
    -------
    list of Alternative, list of Doubt
    """
    comparison = at_cuts.comparison
    steepness = log1p(comparison.practical.margin) / log1p(at_cuts.life_margin or inf)
    sd = ASSUMED_SD_BLOCKS * (steepness or 1.0)  # of the reading, by how it goes with the cuts
    found = findings_of(comparison)[:1]
    on = OnRolls(log, used, tuple(names), columns, comparison, at_cuts.cuts, options.control,
                 found, sd)  # fmt: skip
    about, unlike = _unlike(on, titles)
    if about is None:
        return [], []
    given = finding_at_cuts(at_cuts)
    alone, shares = unlike[0]
    other = _widened(alone, shares, on)
    if given.verdict == "cannot_tell" or not changed(alone, other):
        return [], [about]
    other = replace(given, ratio=other.ratio, verdict="cannot_tell", reaches_margin=False)
    one = Alternative(WHAT, given, other, about, ALIKE, COUNTED).titled(titles)
    return [one], [one.told()]


def _unlike(on, titles):
    """The doubt about the shares of the heat treatments, and the pairs that it is about."""
    if on.comparison.scope == "blocks":
        return None, []  # decided: nothing is said of the heat treatments
    between = _shares_between(on)
    pairs = [(one, between(one.first, one.second)) for one in on.findings]
    unlike = [(one, shares) for one, shares in pairs if shares_apart(shares)]
    told: dict[str, tuple[float, ...]] = {}
    for one, shares in unlike:
        told |= {one.first: shares.first, one.second: shares.second}
    if not unlike:
        return None, []
    rolls = unlike[0][1].rolls
    seen = "; ".join(
        f"{titles.get(name, name)} made {shares_in_words(rolls, each)}"
        for name, each in told.items()
    )
    differ = f"{100 * ASSUMED_SD_BLOCKS:.0f} %"
    met = {
        roll for roll, share in zip(rolls, np.max([*told.values()], axis=0), strict=True) if share
    }
    about = doubt(
        "rolls_not_shared", cuts=f"{on.up_to_cuts:.0f}", seen=seen, measured=_measured(on, met),
        differ=differ,
    )  # fmt: skip
    return about, unlike


def _measured(on, met):
    """What is known of how far the rolls met differ: what blocks or the control blade tell of."""
    control = on.comparison.control
    run, _, roll = _stages(on)
    own = {name for name, blade in zip(on.runs, on.lives.blade, strict=True) if blade == control}
    known = {name for each, name in zip(run, roll, strict=True) if each in own and name}
    weighed = on.lives.block is not None and _within_blocks(on)
    known |= set(np.asarray(on.lives.block).astype(str)) if weighed else set()
    shown, others = sorted(met & known), sorted(met - known)
    if len(shown) < 2 or not others or not weighed:
        return "What the rolls differ by is in the ratio. How far they differ was not measured"
    how = f", as the control blade {control} shows it, is taken out of" if control else ""
    rest = listed(name or "a roll not noted" for name in others)
    return (
        f"What {listed(shown)} differ by{how or ' cancels in'} the ratio. "
        f"What {rest} did is in it, and was not measured"
    )


def rolls_of_lives(log, used, runs, answered, titles):
    """As `rolls_behind`, of lives that are compared.

    Parameters
    ----------
    log : RetentionLog
    used : sequence of UsedReading
    runs : sequence of str
        Names of the runs, as the lives have them.
    answered : Answered
    titles : mapping of str to str

    Returns
    -------
    list of Alternative, list of Doubt
    """
    lives, comparison = answered.lives, answered.comparison
    up_to, control = mean_life_cuts(lives, log.rows), answered.options.control
    findings = findings_of(comparison)
    on = OnRolls(log, used, tuple(runs), lives, comparison, up_to, control, findings)
    others, told = rolls_behind(on, titles)
    return others, [*told, *rolls_of_one_blade(answered, on.runs, _stages(on), up_to, titles)]


def mean_life_cuts(lives, log_rows):
    """Cuts up to which shares of the cutting are taken: the mean life, within the stages cut.

    Parameters
    ----------
    lives : BladeLives
    log_rows : sequence of LogRow

    Returns
    -------
    float
    """
    low, high = (np.asarray(ends, dtype=float) for ends in (lives.log_low, lives.log_high))
    middle = np.where(np.isfinite(high), (low + high) / 2, low)
    middle = np.where(np.isfinite(middle), middle, high)
    middle = middle[np.isfinite(middle)]
    last = float(max((row.cuts for row in log_rows if not row.waiting), default=0))
    life = exp(middle.mean()) if len(middle) else inf
    return min(life, last) if last > 0 else (life if isfinite(life) else 1.0)


def findings_of(comparison):
    """What is found of every pair, the headline's first; each once.

    Parameters
    ----------
    comparison : Comparison

    Returns
    -------
    tuple of Finding
    """
    practical = comparison.practical
    found = [Finding(comparison.first, comparison.second, comparison.ratio, practical.verdict,
                     practical.reaches_margin)]  # fmt: skip
    seen = {frozenset((comparison.first, comparison.second))}
    for pair in comparison.pairs:
        key = frozenset((pair.first, pair.second))
        if key not in seen and pair.scope != "blades":
            seen.add(key)
            reaches = pair.ratio.reaches(practical.margin)
            found.append(Finding(pair.first, pair.second, pair.ratio, pair.verdict, reaches))
    return tuple(found)


def _shares_between(on):
    """A function of two heat treatments: how unlike their shares are, None where not known."""
    run, cuts, roll = _stages(on)
    runs, rolls, shares = shares_of_runs(run, cuts, roll, on.up_to_cuts)
    row = {name: i for i, name in enumerate(runs)}
    cells: dict[tuple[str, str, str], list[int]] = {}
    for i, name in enumerate(on.runs):
        if name in row:
            cells.setdefault(_cell(on, i), []).append(row[name])
    means = [shares[rows].mean(axis=0) for rows in cells.values()]
    table = np.array(means).reshape(len(cells), len(rolls))
    treatment, _, block = zip(*cells, strict=True) if cells else ((), (), ())
    blocks = block if any(block) else None

    def between(first, second):
        return roll_shares(table, treatment, first, second, rolls=rolls, block=blocks)

    return between


def _cell(on, i):
    """Of a run: heat treatment, what counts once as one result of it, and the block weighed."""
    lives = on.lives
    control = str(lives.blade[i]) == on.control
    side = "control\n" if control else str(lives.treatment[i])  # no name of a heat treatment
    block = str(lives.block[i]) if lives.block is not None and _within_blocks(on) else ""
    counted = next((g.counted for g in on.comparison.groups if g.treatment == side), "blades")
    label = {"batches": lives.batch, "blocks": lives.block}.get(counted)
    return side, (str(label[i]) if label is not None else "") or str(lives.blade[i]), block


def _within_blocks(on):
    """Whether the lives were compared within blocks."""
    codes = {one.code for one in on.comparison.doubts}
    return not codes & {"blocks_are_replicates", "blocks_too_few"}


def _stages(on):
    """Run, cuts and roll of every row that was cut, up to the last of its run that counts.

    What was cut behind it and is left out is in no life.
    """
    of_line = {each.line: each.run for each in on.used}
    of_blade = {(each.block, each.blade): each.run for each in on.used}
    rows = rows_cut(on.log.rows)
    last: dict[tuple[str, str], float] = {}
    for row in rows:
        if not row.exclude:
            last[row.block, row.blade] = max(row.cuts, last.get((row.block, row.blade), 0.0))
    rows = [row for row in rows if row.cuts <= last.get((row.block, row.blade), -1.0)]
    named = [of_line.get(row.line) or of_blade.get((row.block, row.blade), "") for row in rows]
    on_roll = roll_of_rows(rows)
    stages = [
        (name, row.cuts, roll)
        for name, row, roll in zip(named, rows, on_roll, strict=True) if name
    ]  # fmt: skip
    return tuple(zip(*stages, strict=True)) if stages else ((), (), ())


def _widened(given, shares, on):
    """The finding with what rolls may differ by in its interval; an open one beyond `TOO_FAR`."""
    ratio, margin = given.ratio, on.comparison.practical.margin
    if shares.unlike >= TOO_FAR:
        return replace(given, ratio=replace(ratio, low=0.0, high=inf), verdict="cannot_tell",
                       reaches_margin=False)  # fmt: skip
    u, practical = shares.sd_log_ratio(on.sd_rolls), on.comparison.practical
    wide = _ends(ratio.estimate, ratio.low, ratio.high, u, ratio.level)
    narrow = wide
    if given is on.findings[0]:
        narrow = _ends(ratio.estimate, practical.low, practical.high, u, practical.level)
    verdict = verdict_between(wide, narrow, margin)
    low, high = exp_or_open(*wide)
    ratio = replace(ratio, low=low, high=high)
    return replace(given, ratio=ratio, verdict=verdict, reaches_margin=ratio.reaches(margin))


def _ends(estimate, low, high, u, level):
    """Ends of a log ratio with a further independent error of SD `u`."""
    below, above = (log(end) if 0 < end < inf else (-inf if end <= 0 else inf)
                    for end in (low, high))  # fmt: skip
    known = [end for end in (below, above) if isfinite(end)]
    middle = log(estimate) if 0 < estimate < inf else (known or [0.0])[0]
    more = float(ndtri(0.5 + level / 2)) * u
    return middle - hypot(middle - below, more), middle + hypot(above - middle, more)
