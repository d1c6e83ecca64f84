"""Which heat treatment's blades last longer, by what factor, and how sure that is.

Blades are the replicates. Log lives per blade are compared with a t interval from the
scatter between blades; stations, photographs and repeated readings are inside a blade and
enter through `log_life_se` alone. Ratios are of median lives: a mean on the log scale.
"""

from dataclasses import dataclass, replace
from itertools import combinations
from math import inf

import numpy as np

from edgetest.doubts import Where, doubt, doubts_of
from edgetest.estimate import checked_level, checked_margin
from edgetest.stats.contrast import pooled_t, welch_t
from edgetest.wear.compare.chances import SeenDifference, shrunk_chances
from edgetest.wear.compare.comparison_result import (
    Comparison,
    Pair,
    ratio_of,
)
from edgetest.wear.compare.group_lives import group_of
from edgetest.wear.compare.layout import (
    BY_READINGS,
    READINGS_WIDER,
    SINGLE,
    between,
    by_scatter,
    family_of,
    known_variance,
    lay_out,
    measurement_variance,
    one_scatter,
    scope,
    with_history,
)
from edgetest.wear.compare.looks import Looks, as_looked_at, level_at
from edgetest.wear.compare.replicates import independent_results
from edgetest.wear.compare.shop_history import ShopHistory, disagrees
from edgetest.wear.compare.verdict_on_ratio import (
    Practical,
    Seen,
    blades_to_settle,
    verdict_between,
)
from edgetest.wear.compare.what_counts import ONE_OF, counted_of, unequal_numbers

# Blade-to-blade SD of log life where nothing better is known; common practice, no source.
ASSUMED_SD = 0.15
# Doubts that no comparison of mere blades has.
OF_TREATMENTS = ("batches_unknown", "batches_partly_noted")
UNEVEN = 3.0  # ratio of reading uncertainties within a study that is worth a warning


@dataclass(frozen=True)
class ComparisonOptions:
    """Against what the heat treatments are held, and by what measure.

    Attributes
    ----------
    control : str, optional
        Name of the control blade, run once a block; it is no member of a heat treatment.
    reference : str, optional
        Heat treatment that the others are held against; default: first to appear.
    margin : float
        Relevant difference as a share of life, above 0 and below 1.
    level : float
        Coverage of intervals, above 0.5 and below 1.
    history : ShopHistory, optional
        Scatter of the shop's earlier studies; see `edgetest.wear.compare.shop_history`.
    looks : Looks, optional
        Looks that were fixed before the study; the interval is then that of the look reached.
    """

    control: str | None = None
    reference: str | None = None
    margin: float = 0.10
    level: float = 0.95
    history: ShopHistory | None = None
    looks: Looks | None = None


AS_USUAL = ComparisonOptions()


def compare_lives(lives, options=AS_USUAL):
    """Compare heat treatments by the lives of their blades.

    Parameters
    ----------
    lives : BladeLives
    options : ComparisonOptions

    Returns
    -------
    Comparison
        `ratio` is second over first (the reference): how many times as long. With more than
        two heat treatments the second is the one farthest above or below the reference and
        its interval is adjusted for that choice.

    Raises
    ------
    UnusableInput
        Lengths differ, fewer than two heat treatments, an unknown reference or control, a
        margin or level out of range.
    """
    level = checked_level(options.level)
    checked_margin(options.margin)
    design = lay_out(independent_results(lives, options.control), options.reference)
    groups = tuple(
        group_of(design, name, level, shared_se=lives.shared_se, history=options.history)
        for name in design.names
    )
    first, *others = design.names
    second = max(others, key=lambda name: abs(design.mean(name) - design.mean(first)))
    if options.looks is None:
        return _answer(design, groups, first, second, options)
    blades = [blade for group in groups for blade in group.blades]
    asked = replace(options, level=level_at(options.looks, design.sizes, blades))
    found = _answer(replace(design, own_scatter=True), groups, first, second, asked)
    return as_looked_at(found, options.looks, design.sizes)


def _verdict(found, level, margin, family=SINGLE):
    """Verdict and the interval of the two one-sided tests."""
    wide, narrow = ratio_of(found, level, family), ratio_of(found, round(2 * level - 1, 12), family)
    wide_ends = found.limits(wide.level, family)
    narrow_ends = found.limits(narrow.level, family)
    return verdict_between(wide_ends, narrow_ends, margin), wide, narrow


def _pairs(design, level, margin):
    """All pairs and each against the reference, with adjusted intervals; () with two groups."""
    reference, *others = design.names
    if len(others) == 1:
        return ()
    rows = [(a, b, True, "all pairs") for a, b in combinations(design.names, 2)]
    rows += [(reference, b, False, f"against {reference}") for b in others]
    pairs = []
    for first, second, everything, label in rows:
        found = between(design, first, second, level)
        family = family_of(design, first, second, everything)
        verdict, wide, _ = _verdict(found, level, margin, family)
        of_blades = scope(design, first, second) == "blades"
        pairs.append(
            Pair(
                first,
                second,
                wide,
                "cannot_tell" if of_blades else verdict,
                scope(design, first, second),
                label,
                verdict if of_blades else None,
            )
        )
    return tuple(pairs)


def _answer(design, groups, first, second, options):
    """Put the headline pair's ratio, verdict, probabilities and doubts together."""
    margin, level, history = options.margin, options.level, options.history
    found = between(design, first, second, level)
    family = SINGLE if len(groups) == 2 else family_of(design, first, second, False)
    verdict, wide, narrow = _verdict(found, level, margin, family)
    speaks_of = scope(design, first, second)
    of_blades = speaks_of == "blades"
    practical = Practical(
        margin=margin,
        verdict="cannot_tell" if of_blades else verdict,
        low=narrow.low,
        high=narrow.high,
        level=narrow.level,
        reaches_margin=not of_blades and wide.reaches(margin),
        blades_verdict=verdict if of_blades else None,
    )
    chances = _chances(design, found, first, second, options)
    moderated = with_history(design, first, second, level, history) if history else None
    other, why = _other_interval(design, found, first, second, level, margin, family, verdict)
    weighed = design.blocks is not None and design.blocks.by_control
    return Comparison(
        first=first,
        second=second,
        groups=groups,
        ratio=wide,
        other_interval=other,
        with_history=ratio_of(moderated, level, family) if moderated else None,
        chances=chances,
        practical=practical,
        needed=_needed(design, found, first, second, verdict, margin, level, history),
        scope=speaks_of,
        control=options.control if weighed else None,
        pairs=_pairs(design, level, margin),
        doubts=(
            *_doubts(design, found, speaks_of, why, history),
            *(one for group in groups if group.reliable for one in group.reliable.doubts),
        ),
    )


def _chances(design, found, first, second, options):
    """Of a longer mean life, and that the next blade of the second outlasts one of the first.

    Shrunk by how much heat treatments usually differ; that of several the farthest was chosen
    is in it, for the prior knows of no choice.
    """
    if scope(design, first, second) == "blades" or not 0 < found.stderr < inf or found.df < 1:
        return None
    known = known_variance(design, first, second)
    lucky = found.method in (READINGS_WIDER, BY_READINGS)  # how far blades scatter is as unsure
    df = one_scatter(design, first, second)[1] if lucky else found.df
    variance = max(found.stderr**2 - known, 0.0)
    scatter = (design.variance(first) + design.variance(second)) / 2
    if not np.isfinite(scatter) or lucky:
        scatter = variance / sum(1 / len(design.lives(name)) for name in (first, second))
    held_up = lucky or options.history is not None  # a history's scatter is no reading's
    least = np.nan_to_num(measurement_variance(design, first, second)) if held_up else 0.0
    evidence = SeenDifference(
        float(found.difference),
        float(np.sqrt(variance)),
        float(df),
        float(np.sqrt(scatter)),
        float(np.sqrt(known)),
        float(np.sqrt(least)),
    )
    return shrunk_chances(
        evidence, margin=options.margin, level=options.level, history=options.history
    )


def _other_interval(design, found, first, second, level, margin, family, verdict):
    """A second interval where it matters, and the warning that goes with it.

    That of the scatter between blades where the readings alone make it wider; that of the other
    rule for the scatter where it leads to another verdict.
    """
    if scope(design, first, second) == "blades" or not design.exact(first, second):
        return None, ()
    if found.method == READINGS_WIDER:
        _, wide, _ = _verdict(by_scatter(design, first, second, level), level, margin, family)
        return wide, ("measurement_floor",)
    if design.blocks is not None:
        return None, ()
    other = between(design, first, second, level, welch_t if design.balanced else pooled_t)
    other_verdict, wide, _ = _verdict(other, level, margin, family)
    return (wide, ("intervals_disagree",)) if other_verdict != verdict else (None, ())


def _needed(design, found, first, second, verdict, margin, level, history):
    """Blades a side that would settle it, or that would allow a claim at all."""
    difference, stderr = float(found.difference), float(found.stderr)
    if not np.isfinite(difference):
        return None
    if scope(design, first, second) == "blades":
        spread = float(np.hypot(min(stderr, 1.0), ASSUMED_SD * np.sqrt(2)))
        sd, df = (history.sd_log_life, history.df) if history else (ASSUMED_SD, 8.0)
        return replace(
            blades_to_settle(Seen(difference, spread, sd, df), margin, level), purpose="claim"
        )
    if verdict != "cannot_tell" or not 0 < stderr < inf:
        return None
    sizes = [len(design.lives(name)) for name in (first, second)]
    seen = Seen(difference, stderr, stderr / np.sqrt(1 / sizes[0] + 1 / sizes[1]), float(found.df))
    in_blocks = design.blocks is not None and design.blocks.fit is not None
    return blades_to_settle(seen, margin, level, at_least=max(sizes) + 1, in_blocks=in_blocks)


def _doubts(design, found, speaks_of, why, history):
    """What is doubtful about the comparison, the doubts of the replicates first."""
    codes = _size_codes(design, found, speaks_of)
    many = counted_of(design.replicates)
    words = {"few_blades": {"many": many, "one": ONE_OF[many]}}
    if speaks_of != "blades" and found.method == BY_READINGS:
        codes.append("no_scatter")
    said = [one for one in design.doubts if speaks_of != "blades" or one.code not in OF_TREATMENTS]
    doubts = [*said, *(_about_groups(design, code, words.get(code, {})) for code in codes)]
    se = design.replicates.log_life_se
    known = se[se > 0]
    if len(known) > 1 and known.max() > UNEVEN * known.min():
        doubts.append(doubt("uneven_readings", where=Where(value=float(known.max()))))
    doubts += doubts_of(why)
    variance, df, _ = one_scatter(design, *design.names[:2])
    if history and disagrees(variance, df, history):
        doubts.append(doubt("history_disagrees", where=Where(value=float(np.sqrt(variance)))))
    return tuple(dict.fromkeys(doubts))


def _size_codes(design, found, speaks_of):
    """What is to be said of the numbers of blades."""
    if speaks_of == "blades":
        return ["one_blade_per_treatment", *(["run_to_run_unknown"] if found.stderr == inf else [])]
    if min(design.sizes) == 1:  # the two that the answer is of have more
        return ["one_blade_of_some", "unbalanced"]
    if not design.balanced:
        return ["unbalanced"]
    return ["few_blades"] if set(design.sizes) == {2} else []


def _about_groups(design, code, words):
    """A doubt about how many blades there are: the smallest group is where it arose."""
    if code == "unbalanced":
        sizes = dict(zip(design.names, design.sizes, strict=True))
        return unequal_numbers(sizes, counted_of(design.replicates))
    smallest = min(design.names, key=lambda name: len(design.lives(name)))
    return doubt(code, where=Where(value=smallest), **words)
