"""Calls as tests write them: columns and options by name, sorted into the product's records."""

from inspect import signature

import numpy as np

from edgetest.wear.compare.compare_lives import ComparisonOptions
from edgetest.wear.compare.compare_lives import compare_lives as compare_blades
from edgetest.wear.compare.covariate import without_covariate as at_equal_covariate
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.curve.stage_cells import wear_readings
from edgetest.wear.curve.study_curves import FitOptions
from edgetest.wear.curve.study_curves import fit_study as fit_readings

COLUMNS = tuple(signature(wear_readings).parameters)


def fit_study(*columns, **given):
    """Wear curves of readings given as columns, with the options of `FitOptions` beside."""
    named = {name: given.pop(name) for name in COLUMNS if name in given}
    return fit_readings(wear_readings(*columns, **named), FitOptions(**given))


LIVES = tuple(signature(BladeLives).parameters)


def blade_lives(blade, treatment, log_life, log_life_se=None, *, censored=None, **columns):
    """Lives given as one number a blade; where `censored`, that is only the least life."""
    bound = np.zeros(len(log_life), bool) if censored is None else np.asarray(censored, bool)
    high = np.where(bound, np.inf, log_life)
    return BladeLives(blade, treatment, log_life, high, log_life_se, **columns)


def compare_lives(*columns, **given):
    """Comparison of lives given as columns, with the options of `ComparisonOptions` beside."""
    named = {name: given.pop(name) for name in (*LIVES, "censored") if name in given}
    return compare_blades(blade_lives(*columns, **named), ComparisonOptions(**given))


def without_covariate(*columns, first, second, **given):
    """Ratio at equal values of the covariate, of lives given as columns."""
    named = {name: given.pop(name) for name in (*LIVES, "censored") if name in given}
    return at_equal_covariate(blade_lives(*columns, **named), first, second, **given)


def codes(result):
    """Codes of a result's doubts."""
    return tuple(one.code for one in result.doubts)
