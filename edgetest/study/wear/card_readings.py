"""Card cut per cycle, summed as the cutlery standard sums it."""

from edgetest.errors import UnusableInput
from edgetest.wear.curve.card_sums import card_sums


def card_sums_of(readings):
    """Initial cutting performance and total card cut of every run that has all its cycles.

    Parameters
    ----------
    readings : sequence of UsedReading
        Of card cut, one row a cycle; the excluded ones among them.

    Returns
    -------
    dict of str to CardSums
        A run with fewer than three cycles, or a gap among them, has no sum.
    """
    found = {}
    for run in dict.fromkeys(each.run for each in readings):
        mine = sorted((e for e in readings if e.run == run), key=lambda each: each.cuts)
        cycles = [each.cuts for each in mine]
        if cycles != list(range(1, len(cycles) + 1)) or any(each.excluded for each in mine):
            continue
        try:
            found[run] = card_sums([each.value for each in mine])
        except UnusableInput:  # too few cycles: there is no sum to show, the readings are
            continue
    return found
