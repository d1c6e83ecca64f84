"""statsmodels' iterated variance of Paule and Mandel, whatever the last bit of the sums."""

from statsmodels.stats.meta_analysis import combine_effects


def iterated(values, variances, **options):
    """What `combine_effects` gives, held to the finest tolerance at which its iteration ends.

    It starts anew at a variance of zero where rounding puts its equation below zero before the
    tolerance is met, which hangs on the order in which a processor adds. All studies here have
    scatter beyond their own errors, so a variance of zero is that fault.
    """
    for tolerance in (1e-12, 1e-10, 1e-8, 1e-7, 1e-6):
        found = combine_effects(values, variances, method_re="iterated", atol=tolerance, **options)
        if found.tau2 > 0:
            return found
    raise AssertionError("the iteration ends nowhere")
