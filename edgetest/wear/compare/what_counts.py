"""What counts as one result of a heat treatment: a blade, or the batch or block it came in?"""

COUNTED = {"batches_are_replicates": "batches", "blocks_are_replicates": "blocks"}
ONE_OF = {"blades": "blade", "batches": "batch", "blocks": "block"}


def counted_of(replicates):
    """What these replicates are, in the plural.

    Parameters
    ----------
    replicates : Replicates

    Returns
    -------
    str
        "blades"; "batches" or "blocks" where each counts once, by the mean of its blades.
    """
    codes = (one.code for one in replicates.doubts)
    return next((COUNTED[code] for code in codes if code in COUNTED), "blades")
