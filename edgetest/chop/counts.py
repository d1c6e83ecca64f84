"""Chops to sever: per 100 cm² of a reference wood for each blade, and blades as a ratio.

log(chops) = log(cross-section) + blade + board + g * log(hardness / reference) + d * chops so
far; boards are drawn towards their mean.
The prior of g follows from the Wood Handbook: strengths across a cut grow about as specific
gravity (powers 0.85 to 1.13), side hardness as its 1.49th to 2.09th power, so chops should
grow as hardness to about 0.5 to 0.67. No source was found that measured it with a chopper.
"""

from dataclasses import dataclass
from math import exp, isfinite, log, sqrt

import numpy as np
from scipy.special import stdtr, stdtrit

from edgetest.chop.count_results import BladeRate, BladeRatio, ChopCounts, Dispersion
from edgetest.chop.rates import poisson_rate, poisson_ratio
from edgetest.chop.regression import fit_rate
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate

HARDNESS_EXPONENT = (0.55, 0.20)
# Loss per 100 chops, log scale: a blade that needs 35 % more chops after 100 is one sd away.
DULLING_SD = 0.3
# Boards of one kind, log scale: no source; the same 15 % as between billets.
BOARD_SD = 0.15
SMALL_COUNT = 10
REFERENCE_HARDNESS_N = 3200.0
REFERENCE_WOOD = "coast Douglas-fir at 12 % moisture (3200 N side hardness)"
PER_AREA = "chops per 100 cm²"


@dataclass(frozen=True)
class _Columns:
    """The design: blade columns first, then hardness, dulling and boards where they are in."""

    names: tuple[str, ...]
    boards: tuple[str, ...]
    design: np.ndarray
    prior_mean: np.ndarray
    prior_sd: np.ndarray
    at_chops: float
    hardness: int | None
    dulling: int | None
    from_fresh: bool


def fit_counts(
    blade,
    chops,
    area_cm2,
    *,
    hardness_n=None,
    hardness_sd_log=0.0,
    chops_before=None,
    share_cut=None,
    severed=None,
    board=None,
    treatment=None,
    against=None,
    reference_hardness_n=REFERENCE_HARDNESS_N,
    reference_wood=REFERENCE_WOOD,
    hardness_exponent=HARDNESS_EXPONENT,
    spread="moderated",
    level=0.95,
):
    """Chops per 100 cm² of a reference wood for each blade, and blades compared.

    Parameters
    ----------
    blade : sequence of str, length n
        Blade of each billet.
    chops : array_like of int, shape (n,)
        Every stroke to sever it, near misses included.
    area_cm2 : array_like, shape (n,)
        Cross-section, cm².
    hardness_n : array_like, shape (n,), optional
        Side hardness of each billet at its moisture, N; without it the figures are for the
        wood as chopped.
    hardness_sd_log : float
        Standard deviation of log(hardness) shared by all billets (one board): it widens the
        figures in reference wood, not the ratios.
    chops_before : array_like, shape (n,), optional
        Chops the edge had made before each billet. Without it no dulling is fitted.
    share_cut : array_like, shape (n,), optional
        Share of the cross-section cut (1 = severed); a billet given up half way is 0.5.
    severed : array_like of bool, shape (n,), optional
        False where a billet was given up and its share cut is not known: its chops are then
        a lower bound.
    board : sequence of str, length n, optional
        Board (or day) of each billet, where billets of one board went to several blades.
    treatment : sequence of str, length n, optional
        Heat treatment of each billet's blade; two or more are compared, blades as replicates.
    against : str, optional
        Blade the others are compared with; the first where missing.
    reference_hardness_n, reference_wood : float, str
        The reference wood's side hardness, N, and its name.
    hardness_exponent : tuple of float
        Mean and standard deviation of the prior of g.
    spread : str
        See `edgetest.chop.regression.fit_rate`.
    level : float
        Coverage of every interval.

    Returns
    -------
    ChopCounts

    Raises
    ------
    UnusableInput
        If arrays differ in length, a count is below 1, or a size or hardness is not above 0.
    """
    blade = np.asarray([str(name) for name in blade])
    chops = _column(chops, len(blade), "chops", minimum=1)
    area = _column(area_cm2, len(blade), "area_cm2")
    cut = _column(share_cut, len(blade), "share_cut", missing=1.0)
    standing = np.zeros(len(blade), bool) if severed is None else ~np.asarray(severed, bool)
    if np.any(cut > 1):
        raise UnusableInput("a share above 1", "share_cut", "1 is severed, 0.5 is half through")
    if hardness_n is not None:
        hardness_n = _column(hardness_n, len(blade), "hardness_n")
    if chops_before is not None:
        chops_before = _column(chops_before, len(blade), "chops_before", minimum=0)
    exposure = area * cut / 100
    columns = _columns(
        blade, hardness_n, reference_hardness_n, hardness_exponent, chops, chops_before, board
    )
    fit = fit_rate(
        columns.design,
        chops,
        exposure,
        spread=spread,
        prior_mean=columns.prior_mean,
        prior_sd=columns.prior_sd,
        unfinished=standing,
    )
    reference = reference_wood if hardness_n is not None else "the wood as chopped"
    exponent = _coefficient(fit, columns.hardness, level)
    shared_sd = hardness_sd_log * exponent.value if exponent else 0.0
    simple = columns.dulling is None and not columns.boards and not standing.any()
    exact = simple and (hardness_n is None or _one_wood(hardness_n))
    rates = [
        _blade_rate(i, name, blade == name, chops, exposure, fit, columns, shared_sd, level)
        for i, name in enumerate(columns.names)
    ]
    second = against or columns.names[0]
    if second not in columns.names:
        raise UnusableInput(f'blade "{second}" was not chopped with', "against", "name another")
    ratios = [
        _blade_ratio(name, second, rates, fit, columns, exact, level)
        for name in columns.names
        if name != second
    ]
    treatments = _treatment_ratios(blade, treatment, fit, columns, level)
    area_exponent = _area_exponent(columns, chops, exposure, spread, standing, level)
    warnings = _warnings(
        fit, rates, columns, hardness_n, reference_hardness_n, area_exponent, cut, standing
    )
    if treatment is not None and not treatments:
        warnings += ("one_blade_per_treatment",)
    return ChopCounts(
        blades=tuple(rates),
        ratios=tuple(ratios),
        treatments=tuple(treatments),
        dispersion=Dispersion(
            fit.pearson, fit.df, fit.dispersion, fit.p_over, fit.p_under, fit.spread
        ),
        hardness_exponent=exponent,
        dulling_pct_per_100_chops=_dulling(fit, columns.dulling, level),
        area_exponent=area_exponent,
        reference_wood=reference,
        at_chops=columns.at_chops,
        level=level,
        warnings=warnings,
    )


def _column(values, n, where, *, minimum=None, missing=None):
    """One column of the log as floats, each checked."""
    if values is None:
        return np.full(n, missing, dtype=float)
    values = np.asarray(values, dtype=float)
    if values.shape != (n,):
        what = f"{values.size} values for {n} billets"
        raise UnusableInput(what, where, "give one value a billet")
    bad = ~np.isfinite(values) | (values <= 0 if minimum is None else values < minimum)
    if np.any(bad):
        row = int(np.flatnonzero(bad)[0])
        least = "above zero" if minimum is None else f"of {minimum:g} or more"
        what = f"billet {row + 1} has {values[row]:g}"
        raise UnusableInput(what, where, f"give a number {least}")
    return values


def _one_wood(hardness_n):
    """Whether all billets are of one hardness."""
    return bool(np.ptp(np.log(hardness_n)) < 1e-9)


def _columns(blade, hardness_n, reference_hardness_n, exponent, chops, before, board):
    """The design matrix with its priors."""
    names = tuple(dict.fromkeys(blade.tolist()))
    parts = [(blade == name).astype(float) for name in names]
    mean, sd = [0.0] * len(names), [np.inf] * len(names)
    hardness = dulling = None
    at_chops, from_fresh = 0.0, False
    if hardness_n is not None:
        hardness = len(parts)
        parts.append(np.log(hardness_n / reference_hardness_n))
        mean.append(exponent[0])
        sd.append(exponent[1])
    if before is not None:
        middle = before + chops / 2
        at_chops = float(np.average(middle, weights=chops))
        if np.ptp(middle) > 0:
            dulling = len(parts)
            # A fresh edge is not guessed from one that was far from fresh throughout.
            from_fresh = bool(before.min() <= np.ptp(middle))
            parts.append((middle - at_chops) / 100)
            mean.append(0.0)
            sd.append(DULLING_SD)
    labels = [] if board is None else [str(name) for name in board]
    boards = tuple(dict.fromkeys(labels)) if len(set(labels)) > 1 else ()
    for name in boards:
        parts.append(np.array([label == name for label in labels], dtype=float))
        mean.append(0.0)
        sd.append(BOARD_SD)
    return _Columns(
        names=names,
        boards=boards,
        design=np.column_stack(parts),
        prior_mean=np.array(mean),
        prior_sd=np.array(sd),
        at_chops=at_chops,
        hardness=hardness,
        dulling=dulling,
        from_fresh=from_fresh,
    )


def _half(df, level):
    """Quantile of Student's t (normal where df is infinite) for a two-sided interval."""
    df = df if isfinite(df) else 1e9
    return float(stdtrit(df, 0.5 + level / 2))


def _log_estimate(fit, contrast, unit, level, method, *, extra_variance=0.0, scale=1.0):
    """An estimate of exp(contrast @ params), its log and the log's standard error."""
    log_value = float(contrast @ fit.params)
    se = sqrt(float(contrast @ fit.cov @ contrast) + extra_variance)
    half = _half(fit.df_interval, level) * se
    value, low, high = (scale * exp(log_value + step) for step in (0.0, -half, half))
    return Estimate(value, low, high, unit, level, method), log_value, se


def _method(fit):
    """The words for how the interval was made."""
    if fit.spread == "negative_binomial":
        return f"negative binomial regression, alpha {fit.alpha:.3g}, t with {fit.df:.3g} df"
    if not isfinite(fit.df_interval):
        return "Poisson regression"
    return (
        f"Poisson regression, dispersion {fit.dispersion:.2f} ({fit.spread}),"
        f" t with {fit.df_interval:.3g} df"
    )


def _blade_rate(i, name, own, chops, exposure, fit, columns, shared_sd, level):
    """One blade's figures."""
    unit = np.zeros(len(fit.params))
    unit[i] = 1.0
    shared = shared_sd**2
    total, seen = float(chops[own].sum()), float(exposure[own].sum())
    estimate, log_rate, se = _log_estimate(
        fit, unit, PER_AREA, level, _method(fit), extra_variance=shared
    )
    if total < SMALL_COUNT or len(chops) == 1:
        estimate = _widest(estimate, poisson_rate(total, seen, level=level))
    fresh = None
    if columns.from_fresh:
        start = unit.copy()
        start[columns.dulling] = -columns.at_chops / 100
        fresh = _log_estimate(fit, start, PER_AREA, level, _method(fit), extra_variance=shared)[0]
    return BladeRate(
        name,
        int(own.sum()),
        int(total),
        float(100 * seen),
        estimate,
        fresh,
        log_rate,
        se,
    )


def _widest(estimate, exact):
    """The regression's value with the wider of its interval and the exact one about it."""
    factor_low = exact.low / exact.value
    factor_high = exact.high / exact.value
    return Estimate(
        estimate.value,
        min(estimate.low, estimate.value * factor_low),
        max(estimate.high, estimate.value * factor_high),
        estimate.unit,
        estimate.level,
        f"{estimate.method}; not narrower than exact Poisson",
    )


def _blade_ratio(first, second, rates, fit, columns, exact, level):
    """Two blades compared on the billets they severed."""
    contrast = np.zeros(len(fit.params))
    contrast[columns.names.index(first)] = 1.0
    contrast[columns.names.index(second)] = -1.0
    ratio, log_ratio, se = _log_estimate(fit, contrast, "", level, _method(fit))
    a, b = (rates[columns.names.index(name)] for name in (first, second))
    small = min(a.chops, b.chops) < SMALL_COUNT or not isfinite(fit.df_interval)
    if exact and small:
        known = poisson_ratio(a.chops, a.area_cm2, b.chops, b.area_cm2, level=level)
        same = fit.dispersion == 1.0 and fit.alpha == 0.0
        ratio = known if same else _widest(ratio, known)
    df = fit.df_interval if isfinite(fit.df_interval) else 1e9
    less = float(stdtr(df, -log_ratio / se))
    return BladeRatio(first, second, "chops", ratio, less, "blades", fit.df_interval)


def _treatment_ratios(blade, treatment, fit, columns, level):
    """Heat treatments compared with their blades as the replicates, where there are enough.

    The standard error is the larger of what the scatter between blades says (pooled t) and
    what the billets alone say, so that two blades alike by luck do not look certain.
    """
    if treatment is None:
        return []
    owner = dict(zip(blade.tolist(), (str(name) for name in treatment), strict=True))
    groups = tuple(dict.fromkeys(owner[name] for name in columns.names))
    members = {g: [i for i, n in enumerate(columns.names) if owner[n] == g] for g in groups}
    out = []
    for first in groups[1:]:
        a, b = members[first], members[groups[0]]
        if min(len(a), len(b)) < 2:
            continue
        contrast = np.zeros(len(fit.params))
        contrast[a], contrast[b] = 1 / len(a), -1 / len(b)
        squares = sum(float(np.var(fit.params[m]) * len(m)) for m in (a, b))
        df = float(len(a) + len(b) - 2)
        between = squares / df * (1 / len(a) + 1 / len(b))
        se = sqrt(max(between, float(contrast @ fit.cov @ contrast)))
        log_ratio = float(contrast @ fit.params)
        half = _half(df, level) * se
        value, low, high = (exp(log_ratio + step) for step in (0.0, -half, half))
        ratio = Estimate(value, low, high, "", level, f"t on blades, {df:.0f} df, log scale")
        less = float(stdtr(df, -log_ratio / se))
        out.append(BladeRatio(first, groups[0], "chops", ratio, less, "heat_treatments", df))
    return out


def _coefficient(fit, index, level):
    """A slope of the design with its interval, None where it is not in."""
    if index is None:
        return None
    half = _half(fit.df_interval, level) * sqrt(float(fit.cov[index, index]))
    value = float(fit.params[index])
    return Estimate(value, value - half, value + half, "", level, _method(fit) + ", with prior")


def _dulling(fit, index, level):
    """More chops per 100 chops made, in percent."""
    slope = _coefficient(fit, index, level)
    if slope is None:
        return None
    value, low, high = (100 * (exp(x) - 1) for x in (slope.value, slope.low, slope.high))
    return Estimate(value, low, high, "% more chops per 100 chops", level, slope.method)


def _area_exponent(columns, chops, exposure, spread, standing, level):
    """Power of the cross-section that chops follow (1 = in proportion), where sizes differ."""
    log_size = np.log(exposure)
    if np.ptp(log_size) < log(1.3) or len(chops) < len(columns.names) + 3:
        return None
    design = np.column_stack([columns.design, log_size])
    fit = fit_rate(
        design,
        chops,
        exposure,
        spread=spread,
        prior_mean=np.append(columns.prior_mean, 0.0),
        prior_sd=np.append(columns.prior_sd, np.inf),
        unfinished=standing,
    )
    extra = _coefficient(fit, design.shape[1] - 1, level)
    value, low, high = (1 + x for x in (extra.value, extra.low, extra.high))
    return Estimate(value, low, high, "", level, _method(fit))


def _warnings(fit, rates, columns, hardness_n, reference, area_exponent, cut, standing):
    """Codes of what a reader must know."""
    codes = []
    if any(rate.billets == 1 for rate in rates):
        codes.append("single_run")
    if any(rate.chops < SMALL_COUNT for rate in rates):
        codes.append("small_counts")
    if isfinite(fit.p_over) and fit.p_over < 0.05:
        codes.append("overdispersed")
    if isfinite(fit.p_under) and fit.p_under < 0.05 and fit.dispersion < 1:
        codes.append("underdispersed")
    if hardness_n is not None:
        far = np.abs(np.log(hardness_n / reference)).max()
        if np.ptp(np.log(hardness_n)) < log(1.5) and far > log(1.1):
            codes.append("hardness_exponent_assumed")
        if far > log(2):
            codes.append("wood_far_from_reference")
    if area_exponent and not area_exponent.low <= 1 <= area_exponent.high:
        codes.append("not_proportional_to_area")
    dulling = _coefficient(fit, columns.dulling, 0.95)
    if dulling and dulling.low > 0:
        codes.append("dulling_seen")
    if np.any(cut < 1) or standing.any():
        codes.append("given_up")
    return tuple(codes)
