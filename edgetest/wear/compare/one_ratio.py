"""What does the comparison say of one heat treatment against the reference, and nothing else?"""

from edgetest.wear.compare.comparison_result import ratio_of
from edgetest.wear.compare.layout import SINGLE, between, family_of, lay_out, scope
from edgetest.wear.compare.replicates import independent_results


def one_ratio(lives, second, options):
    """The interval that `compare_lives` gives one heat treatment against the reference.

    The same design, contrast and adjustment for several, without the chances, doubts and blades
    needed that go with an answer: for plans, which ask it thousands of times.

    Parameters
    ----------
    lives : BladeLives
    second : str
        The heat treatment that is held against the reference.
    options : ComparisonOptions

    Returns
    -------
    (Ratio, str)
        Second over the reference, and what it speaks of; with several heat treatments adjusted
        for all that are held against the reference.

    Raises
    ------
    UnusableInput
        As `compare_lives` does.
    """
    design = lay_out(independent_results(lives, options.control), options.reference)
    first = design.names[0]
    found = between(design, first, second, options.level)
    family = SINGLE if len(design.names) == 2 else family_of(design, first, second, False)
    return ratio_of(found, options.level, family), scope(design, first, second)
