"""What a fitted study says against itself: misfit, stages that scatter, readings that stand out."""

import numpy as np

from edgetest.doubts import Where, doubt
from edgetest.wear.curve.lack_of_fit import (
    ALARM,
    common_pattern,
    falls_back,
    lack_of_fit,
    pure_error,
    runs_probability,
    stands_out,
)
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.reading_step import reading_step
from edgetest.wear.curve.swapped_names import StageMeans, swapped_names

SAME = 0.005  # of a reading: half a step of its third figure, to which the expectation is told
# Steps of the scale: a reading is rounded by half a step, and what its fresh edge leads one to
# expect by as much and more. Nothing nearer stands out, however small the reading. Our choice.
STEPS_NEAR = 1.5
NEAREST = 18  # readings of about one size, whose scatter is judged by itself; our choice
NEAREST_DF = 0.37 * NEAREST  # a median distance tells as much as so many squares (its efficiency)
ROUGHER = 1.4  # times the scatter of all: seldom by chance where readings scatter alike; our choice


def study_doubts(fitted, parts, robust):
    """Doubts of the study and of each blade, and the readings that stand out.

    Parameters
    ----------
    fitted : Fitted
    parts : sequence of WearReadings
        Of each fitted blade.
    robust : bool
        Whether the fit took far-out readings less seriously.

    Returns
    -------
    of_study : tuple of Doubt
    of_blades : list of tuple of Doubt
    outlying : list of tuple of int
        Positions in the caller's arrays.
    """
    blades, law, scatter = fitted.blades, fitted.law, fitted.scatter
    residuals = [
        b.log_value - fitted.log_scale[i] - law.log_shape(b.cuts, fitted.psi[i])
        for i, b in enumerate(blades)
    ]
    numbers = sum(int((~b.bounded).sum()) for b in blades)
    df = max(numbers - len(blades) * (1 + len(fitted.own)), 1)
    left = [_by_stage(b, r) for b, r in zip(blades, residuals, strict=True)]
    of_study = _of_study(blades, residuals, left, df, 1 + len(fitted.own), law)
    of_study += _swapped(fitted, left)
    noisy = _noisy(residuals, blades, len(fitted.own) + 1)
    readings = sum(int(np.isfinite(p.value).sum()) for p in parts)
    typical = 1.4826 * float(
        np.median(np.abs(np.concatenate(left)))
    )  # not moved by the rows it looks for
    effects = [fitted.weighing.predicted_effects(i, residuals[i]) for i in range(len(blades))]
    local = _LocalScatter(fitted, residuals, effects)
    near_by = STEPS_NEAR * reading_step(np.concatenate([part.value for part in parts]))

    def far_off(off, sd, level, apart):
        """Which lie too far off for the scatter of all, and for that of readings of their size.

        Where those of their size scatter more, they must be far off in per cent and in the unit.
        """
        far = stands_out(off, sd, df, readings, robust=robust)
        near, near_in_unit = local.at(level)
        rough = near > ROUGHER * sd
        for by, scatter in ((off, near), (apart, near_in_unit)):
            far[rough] &= stands_out(by[rough], scatter[rough], NEAREST_DF, readings, robust=True)
        return far

    of_blades, outlying = [], []
    for i, (b, part) in enumerate(zip(blades, parts, strict=True)):
        sd = np.sqrt(scatter.residual_var + b.own_var)
        far, expected = _standing_out(fitted, i, part, effects[i], sd, far_off, near_by)
        doubts = [_outlying(part, row, value) for row, value in zip(far, expected, strict=True)]
        if noisy[i]:
            doubts.append(doubt("noisy_blade", where=Where(blade=b.blade)))
        if falls_back(_by_stage(b, b.log_value), typical, law.direction):
            doubts.append(doubt("reading_falls_back", where=Where(blade=b.blade)))
        of_blades.append(tuple(doubts))
        outlying.append(tuple(int(row) for row in part.position[far]))
    return of_study, of_blades, outlying


def _of_study(blades, residuals, left, df, parameters, law):
    """What all blades together say against their curves."""
    all_of_them = np.concatenate(residuals)
    even = float(np.sqrt(all_of_them @ all_of_them / df))
    if even < SAME:  # what is left over then is rounding: it says nothing of law or stages
        return (doubt("readings_too_even", share=f"{100 * even:.1g} %"),)
    found = []
    pattern = common_pattern([_by_stage(b, b.cuts) for b in blades], left, parameters)
    if runs_probability(left) < ALARM / 2 or pattern < ALARM / 2:
        found.append(law_misfits(f"Try another ({options_of(other_laws(law.name))})."))
    errors = [pure_error(b, r, parameters - 1) for b, r in zip(blades, residuals, strict=True)]
    if lack_of_fit(errors) < ALARM:
        found.append(doubt("stages_scatter"))
    return tuple(found)


def other_laws(name):
    """The names of the laws of the same direction."""
    way = LAWS[name].direction
    return tuple(each.name for each in LAWS.values() if each.direction == way and each.name != name)


def law_misfits(other):
    """The doubt that the wear bends otherwise than its law, with what is said of other laws."""
    return doubt("law_misfits", other=other)


def options_of(laws):
    """Laws as they are chosen: "`--law saturating`"."""
    return " or ".join(f"`--law {name}`" for name in laws)


def _swapped(fitted, left):
    """The doubts about stages of two blades that were probably noted under each other's name."""
    means = []
    for i, (b, residual) in enumerate(zip(fitted.blades, left, strict=True)):
        cuts, ones = _by_stage(b, b.cuts), np.ones(len(residual))
        slopes = fitted.law.slopes(cuts, fitted.psi[i])[..., fitted.own]
        design = np.column_stack([ones, slopes])
        means.append(StageMeans(b.blade, cuts, _by_stage(b, b.log_value), residual, design))
    pairs = [(means[i].blade, means[j].blade, cuts) for i, j, cuts in swapped_names(means)]
    return tuple(
        doubt("names_swapped", blade=one, other=other, at=_stages_in_words(cuts),
              there=", there or at all other stages" if len(cuts) > 1 else "",
              where=Where(blade=one, other=other, stage=cuts[0],
                          last_stage=cuts[-1] if len(cuts) > 1 else None))
        for one, other, cuts in pairs
    )  # fmt: skip


def _stages_in_words(cuts):
    """One stage, or a run of them: "At 40 cuts", "From 40 to 160 cuts"."""
    return f"At {cuts[0]:g} cuts" if len(cuts) == 1 else f"From {cuts[0]:g} to {cuts[-1]:g} cuts"


def _outlying(part, i, expected):
    """The doubt about a reading that stands out: where it is, what it reads, what was expected."""
    row, stage, value = int(part.row[i]), float(part.cuts[i]), float(part.value[i])
    where = Where(blade=part.blade[i], row=row, stage=stage, value=value, expected=float(expected))
    words = {"met": f"{value:.4g}", "cuts": f"{stage:g}", "expected": f"{expected:.3g}"}
    return doubt("outlying_reading", where=where, **words)


def _by_stage(blade, values):
    """Mean over the places of each stage, bounds left out."""
    number = ~blade.bounded
    count = np.bincount(blade.stage[number], minlength=len(blade.stages))
    total = np.bincount(blade.stage[number], values[number], minlength=len(blade.stages))
    return total[count > 0] / count[count > 0]


class _LocalScatter:
    """How far readings of one size scatter, whatever the others do.

    A reading by eye is as good as so many µm, not so many per cent: of a fresh edge that is a
    larger share, and more so below its curve than above. 1.4826 times the median of the distances
    of the nearest in size, which rows that lie far out hardly move. Distances are those between
    the places of one stage, which the curve cannot follow; else those from the curve.
    """

    def __init__(self, fitted, residuals, effects):
        cells = list(zip(fitted.blades, residuals, effects, strict=True))
        level, off = (
            np.concatenate(each, axis=-1) for each in zip(*map(_pairs, cells), strict=True)
        )
        if len(level) < 2 * NEAREST:
            level, off = (
                np.concatenate(each, axis=-1) for each in zip(*map(_distances, cells), strict=True)
            )
        order = np.argsort(level, kind="stable")
        self.level, self.off = level[order], np.abs(off[:, order])

    def at(self, level):
        """Standard deviations (2, n) at expected log readings, of log readings and in the unit.

        0 where too few are read to tell.
        """
        if len(self.level) < 2 * NEAREST:
            return np.zeros((2, len(level)))
        first = np.searchsorted(self.level, level) - NEAREST // 2
        first = np.clip(first, 0, len(self.level) - NEAREST)
        near = self.off[:, first[:, None] + np.arange(NEAREST)]
        return np.asarray(1.4826 * np.median(near, axis=2))


def _distances(cell):
    """Log expectation by the curve alone (n,), and distances from it and its effects (2, n)."""
    blade, residual, effect = cell
    number = ~blade.bounded
    expected = np.exp(blade.log_value - residual + effect)
    off = np.stack([residual - effect, np.exp(blade.log_value) - expected])
    return (blade.log_value - residual)[number], off[:, number]


def _pairs(cell):
    """The same of two places of one stage, each place with the next: distances as of one."""
    blade = cell[0]
    level, off = _distances(cell)
    stage = blade.stage[~blade.bounded]
    order = np.argsort(stage, kind="stable")
    one = order[1:]
    other = order[:-1]
    same = stage[one] == stage[other]
    apart = (off[:, one] - off[:, other]) / np.sqrt(2)
    return level[one][same], apart[:, same]


def _standing_out(fitted, i, part, effects, sd, far_off, near_by):
    """Positions in `part` of the numbers far from what curve, place and stage expect, and that.

    What lies within `near_by`, in the readings' unit, is not far.
    """
    b = fitted.blades[i]
    stage = np.searchsorted(b.stages, part.cuts)
    _, place = np.unique(part.station.astype(str), return_inverse=True)
    number, places = ~b.bounded, b.n_stations
    effect_of, spread_of = np.zeros((2, len(b.stages) * places))
    spread_of[:] = np.nan
    at = (b.stage * places + b.station)[number]
    effect_of[at], spread_of[at] = effects[number], sd[number]
    here = stage * places + place
    effect, spread = effect_of[here], spread_of[here]
    repeat_var = b.repeat_ss / b.repeat_df if b.repeat_df else 0.0
    expected = fitted.log_scale[i] + fitted.law.log_shape(part.cuts, fitted.psi[i]) + effect
    left = np.log(part.value) - expected
    known = np.isfinite(left) & np.isfinite(spread) & (np.abs(left) > SAME)
    known &= np.abs(part.value - np.exp(expected)) > near_by
    rows = np.flatnonzero(known)
    sd_all = np.hypot(spread[rows], np.sqrt(repeat_var))
    apart = (part.value - np.exp(expected))[rows]
    far = rows[far_off(left[rows], sd_all, (expected - effect)[rows], apart)]
    return far, np.exp(expected[far])


def _noisy(residuals, blades, n_params):
    """Which blades scatter more than all others together (F test, over the blades)."""
    from scipy.special import fdtrc

    ss, df = [], []
    for b, r in zip(blades, residuals, strict=True):
        number = ~b.bounded
        at_place = np.bincount(b.station[number], r[number], minlength=b.n_stations)
        count = np.maximum(np.bincount(b.station[number], minlength=b.n_stations), 1)
        left = r[number] - (at_place / count)[b.station[number]]
        ss.append(float(left @ left))
        df.append(max(int(number.sum()) - b.n_stations - n_params + 1, 0))
    total_ss, total_df = sum(ss), sum(df)
    out = []
    for own_ss, own_df in zip(ss, df, strict=True):
        rest_ss, rest_df = total_ss - own_ss, total_df - own_df
        if own_df < 1 or rest_df < 3 or rest_ss <= 0:
            out.append(False)
            continue
        chance = fdtrc(own_df, rest_df, (own_ss / own_df) / (rest_ss / rest_df))
        out.append(bool(chance * len(blades) < 0.001))
    return out
