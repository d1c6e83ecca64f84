"""Which six blades do the tests of the comparison start from?"""

import numpy as np

from tests.wear.columns import compare_lives

SIX = np.log([410.0, 455.0, 432.0, 540.0, 590.0, 561.0])


def compare(log_life=SIX, se=None, first=3, **options):
    n = len(log_life)
    blade = [f"blade {i}" for i in range(n)]
    treatment = ["A"] * first + ["B"] * (n - first)
    return compare_lives(blade, treatment, log_life, se, **options)


def numbers(found):
    ratio = found.ratio
    longer = float(found.chances.longer) if found.chances else 0.5
    return [ratio.estimate, ratio.low, ratio.high, longer]
