"""What counts as one result of a heat treatment: a blade, or the batch or block it came in?"""

from edgetest.doubts import Where, doubt

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


def unequal_numbers(sizes, many):
    """The doubt that heat treatments have different numbers of what counts once.

    Parameters
    ----------
    sizes : dict of str to int
        How many each heat treatment has, by the name that a sentence gives it.
    many : str
        What is counted: "blades", "batches" or "blocks".

    Returns
    -------
    Doubt
        With the mend that makes the numbers equal; its place is the smallest heat treatment.
    """
    fewest, most = min(sizes, key=lambda name: sizes[name]), max(sizes.values())
    fewer = {name: most - size for name, size in sizes.items() if size < most}
    another = "another" if list(fewer.values()) == [1] else "more"
    of = " and of ".join(fewer)
    mends = {
        "blades": "Test equal numbers, each blade to the limit.",
        "batches": "Blades of one batch count once. "
        f"Make {another} batch{'es' * (another == 'more')} of {of}, each blade to the limit.",
        "blocks": "Blades of one block count once. "
        f"Cut {of} in {another} block{'s' * (another == 'more')}, each blade to the limit.",
    }
    told = "; ".join(f"{name}: {size}" for name, size in sizes.items())
    return doubt("unbalanced", many=many, sizes=told, mend=mends[many], where=Where(value=fewest))
