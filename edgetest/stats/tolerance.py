"""One-sided tolerance bound of a normal: what do most single items reach at least?

An interval of the mean says where the middle of all items lies; a buyer gets one item. The
bound lies k standard deviations below the mean, k from the noncentral t distribution.
"""

from math import sqrt

from scipy.special import nctdtrit, ndtri

from edgetest.errors import UnusableInput


def tolerance_factor(n, df, *, share=0.9, confidence=0.95):
    """Factor k of a one-sided normal tolerance bound, mean minus k standard deviations.

    Parameters
    ----------
    n : int
        Items behind the mean.
    df : float
        Degrees of freedom of the standard deviation: n - 1, or more where it is pooled.
    share : float
        Of single items that reach the bound at least, between 0.5 and 1.
    confidence : float
        Between 0.5 and 1.

    Returns
    -------
    float
        Exact: the `confidence` quantile of the noncentral t with `df` degrees of freedom and
        noncentrality ``sqrt(n)`` times the normal quantile of `share`, over ``sqrt(n)`` [1]_.

    Raises
    ------
    UnusableInput
        No item, no degree of freedom, a share or confidence out of range.

    References
    ----------
    .. [1] M. G. Natrella, "Experimental Statistics", NBS Handbook 91 (1963), section 2-5.2;
       with a scatter that has its own degrees of freedom: D. B. Owen, "A survey of properties
       and applications of the noncentral t-distribution", Technometrics 10 (1968) 445-478.
    """
    if n < 1 or not df > 0:
        what = f"{n:g} items and {df:g} degrees of freedom"
        raise UnusableInput(what, "tolerance", "give one or more of each")
    for name, value in (("share", share), ("confidence", confidence)):
        if not 0.5 < value < 1:
            raise UnusableInput(f"a {name} of {value:g}", name, "give one such as 0.9")
    root = sqrt(n)
    return float(nctdtrit(min(df, 1e6), root * ndtri(share), confidence)) / root
