"""Chops to sever: per 100 cm² of a reference wood for each blade, and blades as a ratio."""

from dataclasses import dataclass, replace
from math import isfinite, log

import numpy as np

from edgetest.chop.count_design import check_billets, design_of
from edgetest.chop.count_ratios import (
    SMALL_COUNT,
    BladeStrokes,
    blade_ratio,
    method_of,
    treatment_ratios,
    widest,
)
from edgetest.chop.count_results import (
    BladeRate,
    ChopCounts,
    Dispersion,
    loss_estimate,
    loss_words,
)
from edgetest.chop.luck_alone import SELDOM, luck_doubts
from edgetest.chop.tool_dulling import own_slopes
from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate
from edgetest.stats.rates import poisson_rate
from edgetest.stats.regression import NormalPrior, exponential, fit_rate

UNLIKE = 0.01  # chance that tools which dull alike are told apart; a choice
PER_AREA = "chops per 100 cm²"
WITH_PRIOR = ", with prior"  # of hardness and of dulling, in the method of a slope
# Factors in size and hardness, no source: from here on the power of the cross-section, or of
# the hardness, is measured; the wood is another than the reference; and it is far from it.
SIZES_DIFFER, WOODS_DIFFER, OTHER_WOOD, FAR_WOOD = 1.3, 1.5, 1.1, 2.0


@dataclass(frozen=True)
class ReferenceWood:
    """The wood that chops are stated in: side hardness, N, and name."""

    hardness_n: float = 3200.0
    name: str = "coast Douglas-fir at 12 % moisture (3200 N side hardness)"


DOUGLAS_FIR = ReferenceWood()


def fit_counts(
    billets,
    *,
    reference=DOUGLAS_FIR,
    against=None,
    spread="moderated",
    level=0.95,
):
    """Chops per 100 cm² of a reference wood for each blade, by quasi-Poisson regression.

    Parameters
    ----------
    billets : Billets
        What was severed, and with how many chops.
    reference : ReferenceWood
        The wood that the figures are stated in.
    against : str, optional
        Blade the others are compared with; the first where missing.
    spread : str
        See `edgetest.stats.regression.fit_rate`.
    level : float
        Coverage of every interval.

    Returns
    -------
    ChopCounts

    Raises
    ------
    UnusableInput
        If columns differ in length, a count is below 1, or a size or hardness is not above 0.
    """
    given, billets = billets, check_billets(billets)
    design = design_of(billets, reference.hardness_n)
    names, second = design.names, _second_of(design, against)
    fit = fit_with(design, billets, spread=spread)
    exponent = _slope(fit, design.hardness, level)
    unlike = _unlike(design, billets, spread, level)
    design = replace(design, from_fresh=design.from_fresh and not unlike)
    shared_sd = given.hardness_sd_log * exponent.value if exponent else 0.0
    rates = [_blade_rate(i, billets, design, fit, shared_sd, level) for i in range(len(names))]
    exact = _exact(billets, design)
    ratios = _ratios(second, rates, fit, exact, level)
    by_luck = ratios
    if fit.dispersion < 1:
        luck = fit_with(design, billets, spread="poisson")
        by_luck = _ratios(second, rates, luck, exact, level)
    kinds = billets.treatment_of
    result = ChopCounts(
        blades=tuple(rates),
        ratios=tuple(ratios),
        treatments=treatment_ratios(
            names, kinds, rates, fit, second=second, exact=exact, level=level
        ),
        dispersion=Dispersion(
            fit.pearson, fit.df, fit.dispersion, fit.p_over, fit.p_under, fit.spread
        ),
        hardness_exponent=exponent,
        dulling_pct_per_100_chops=_dulling(fit, design.dulling, level),
        area_exponent=_area_exponent(design, billets, spread, level),
        reference_wood="the wood as chopped" if billets.hardness_n is None else reference.name,
        at_chops=design.at_chops,
        level=level,
        doubts=(),
    )
    said = (
        *_doubts(result, billets, reference.hardness_n),
        *_unlike_doubts(unlike, level),
        *luck_doubts(result, by_luck),
    )
    return replace(result, doubts=said)


def compared_alone(billets, *, against=None, spread="moderated", level=0.95):
    """The ratios of `fit_counts`, of blades and of heat treatments, and nothing else of it.

    A simulation of many tests asks for no more. Parameters and errors as of `fit_counts`.

    Returns
    -------
    ratios, treatments : tuple of BladeRatio
        As those of `ChopCounts`.
    """
    billets = check_billets(billets)
    design = design_of(billets, DOUGLAS_FIR.hardness_n)
    second = _second_of(design, against)
    fit = fit_with(design, billets, spread=spread)
    made = [BladeStrokes(name, *_made(billets, name)) for name in design.names]
    exact, kinds = _exact(billets, design), billets.treatment_of
    compared = treatment_ratios(
        design.names, kinds, made, fit, second=second, exact=exact, level=level
    )
    return tuple(_ratios(second, made, fit, exact, level)), compared


def _second_of(design, against):
    """The blade that the others are compared with."""
    second = against or design.names[0]
    if second not in design.names:
        raise UnusableInput(f'blade "{second}" was not chopped with', "against", "name another")
    return second


def _exact(billets, design):
    """Whether nothing but the blades is fitted."""
    simple = billets.one_wood and design.dulling is None and not design.boards
    return simple and not billets.standing.any()


def _ratios(second, rates, fit, exact, level):
    """Every blade over the second."""
    names = [rate.blade for rate in rates if rate.blade != second]
    return [blade_ratio(name, second, rates, fit, exact=exact, level=level) for name in names]


def fit_with(design, billets, extra=None, spread="moderated"):
    """The regression of `fit_counts`, with more columns without a prior, the last, where asked.

    Parameters
    ----------
    design : CountDesign
    billets : Severed
    extra : array_like, shape (n,) or (n, k), optional
    spread : str
        See `edgetest.stats.regression.fit_rate`.

    Returns
    -------
    RateFit

    Raises
    ------
    UnusableInput
        If the pieces do not part the columns.
    """
    matrix, prior = design.matrix, design.prior
    if extra is not None:
        matrix = np.column_stack([matrix, extra])
        more = matrix.shape[1] - len(prior.mean)
        prior = NormalPrior(
            np.append(prior.mean, np.zeros(more)), np.append(prior.sd, np.full(more, np.inf))
        )
    return fit_rate(
        matrix,
        billets.chops,
        billets.exposure,
        spread=spread,
        prior=prior,
        unfinished=billets.standing,
    )


def _made(billets, name):
    """Strokes that a blade made, and what they went through, cm²."""
    own = billets.blade == name
    return float(billets.chops[own].sum()), 100 * float(billets.exposure[own].sum())


def _blade_rate(i, billets, design, fit, shared_sd, level):
    """One blade's figures; hardness known only together widens them all alike."""
    total, area = _made(billets, design.names[i])
    contrast = np.zeros(len(fit.params))
    contrast[i] = 1.0
    rate = fit.contrast(contrast, extra_variance=shared_sd**2)
    estimate = rate.factor(PER_AREA, level, method_of(fit))
    if total < SMALL_COUNT or not isfinite(fit.df_interval):
        estimate = widest(estimate, poisson_rate(total, area / 100, level=level))
    fresh = None
    if design.from_fresh:
        contrast[design.dulling] = -design.at_chops / 100
        rate = fit.contrast(contrast, extra_variance=shared_sd**2)
        fresh = rate.factor(PER_AREA, level, method_of(fit))
    return BladeRate(
        blade=design.names[i],
        billets=int((billets.blade == design.names[i]).sum()),
        chops=int(total),
        area_cm2=area,
        chops_per_100_cm2=estimate,
        fresh_chops_per_100_cm2=fresh,
    )


def _slope(fit, index, level):
    """A slope of the design with its interval, None where it is not in."""
    if index is None:
        return None
    slope = fit.contrast(np.eye(len(fit.params))[index])
    value, half = slope.value, slope.half(level)
    return Estimate(value, value - half, value + half, "", level, method_of(fit) + WITH_PRIOR)


def _dulling(fit, index, level):
    """More chops per 100 chops made, in percent."""
    slope = _slope(fit, index, level)
    if slope is None:
        return None
    value, low, high = (100 * (exponential(x) - 1) for x in (slope.value, slope.low, slope.high))
    return Estimate(value, low, high, "% more chops per 100 chops", level, slope.method)


def _unlike(design, billets, spread, level):
    """Each tool's own change per 100 chops, in log, where one differs from the others.

    Every tool in turn gets a slope beside that of the others; with more than two the level is
    that of Bonferroni (of all tests UNLIKE). Empty where none differs, or the pieces are too few.
    """
    names = design.names if len(design.names) > 2 else design.names[1:]
    if design.dulling is None or not names or len(billets.chops) < len(design.names) + 4:
        return {}
    apart = False
    for name in names:
        own = (billets.blade == name) * design.matrix[:, design.dulling]
        if np.ptp(own) == 0:
            return {}
        try:
            fit = fit_with(design, billets, own, spread)
        except UnusableInput:  # these pieces do not part its change from the rest
            return {}
        one = fit.contrast(np.eye(len(fit.params))[-1])
        apart = apart or abs(one.value) > one.half(1 - UNLIKE / len(names))
    if not apart:
        return {}
    slopes = own_slopes(design, billets, spread)
    return {name: slopes.of(name) for name in design.names}


def _unlike_doubts(unlike, level):
    """That one change as the edges dull tells of no tool, with each tool's own."""
    if unlike:
        said = [f"{name} {loss_words(loss_estimate(s, level))}" for name, s in unlike.items()]
        yield doubt("dulling_unlike", tools="; ".join(said))


def _area_exponent(design, billets, spread, level):
    """Power of the cross-section that chops follow (1 = in proportion), where sizes differ."""
    log_size = np.log(billets.area_cm2)
    if np.ptp(log_size) < log(SIZES_DIFFER) or len(log_size) < len(design.names) + 3:
        return None
    extra = _slope(fit_with(design, billets, log_size - log_size.mean(), spread), -1, level)
    method = extra.method.removesuffix(WITH_PRIOR)  # this column alone has none
    return Estimate(1 + extra.value, 1 + extra.low, 1 + extra.high, "", level, method)


def _doubts(result, billets, reference_hardness_n):
    """What a reader must know of the counts."""
    spread, power = result.dispersion, result.area_exponent
    for rate in result.blades:
        if rate.billets == 1:
            yield doubt("single_run", where=Where(blade=rate.blade))
    for rate in result.blades:
        if rate.chops < SMALL_COUNT:
            yield doubt("small_counts", where=Where(blade=rate.blade, value=rate.chops))
    if spread.p_over < SELDOM:
        yield doubt("overdispersed", where=Where(value=spread.used))
    yield from _wood_doubts(billets, reference_hardness_n)
    if power and not power.low <= 1 <= power.high:
        yield doubt("not_proportional_to_area", where=Where(value=power.value))
    loss = result.dulling_pct_per_100_chops
    if loss and loss.low > 0:
        alone = len(result.blades) == 1
        tools = result.blades[0].blade if alone else "The tools together"
        yield doubt(
            "dulling_seen", tools=tools, loss=loss_words(loss), where=Where(value=loss.value)
        )
    for blade, many in billets.given_up.items():
        pieces, was, count = ("1 piece", "was", "counts") if many == 1 else (
            f"{many} pieces", "were", "count"
        )  # fmt: skip
        yield doubt("given_up", pieces=pieces, was=was, count=count, where=Where(blade=blade))


def _wood_doubts(billets, reference_hardness_n):
    """Wood that says nothing about the power of hardness, or lies far from the reference."""
    if billets.hardness_n is None:
        return
    log_hardness = np.log(billets.hardness_n / reference_hardness_n)
    far = billets.hardness_n[int(np.argmax(np.abs(log_hardness)))]
    met = Where(value=f"{far:.0f} N")
    if np.ptp(log_hardness) < log(WOODS_DIFFER) and np.abs(log_hardness).max() > log(OTHER_WOOD):
        yield doubt("hardness_exponent_assumed", where=met)
    if np.abs(log_hardness).max() > log(FAR_WOOD):
        yield doubt("wood_far_from_reference", where=met)
