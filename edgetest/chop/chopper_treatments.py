"""Choppers compared by heat treatment: every ratio that the test allows, and what it may not say.

Strokes, chips and rolls per stroke and length of edge, depth and loss of depth; blades are the
replicates. Who is compared with whom follows from the blades alone.
"""

from edgetest.chop.damage_contrast import damage_compared
from edgetest.chop.treatment_pairs import pairs_of, treatment_groups
from edgetest.doubts import Where, doubt

FEW = 2  # blades a side between which the scatter is hardly seen


def treatments_compared(test, counts, depths, damage, against, level):
    """Ratios of heat treatments in the order of the sheet, and their doubts.

    Parameters
    ----------
    test : ChopTest
        Its `treatment_of` names the heat treatment of the blades that are compared.
    counts : ChopCounts or None
    depths : DepthFit or None
    damage : sequence of (str, Damage)
        When, and what; what came "during" the test is compared.
    against : str or None
        Blade whose heat treatment the others are compared with.
    level : float

    Returns
    -------
    (tuple of BladeRatio, tuple of Doubt)
    """
    groups = treatment_groups(test.treatment_of, test.treatment_of, against)
    if not groups:
        return (), ()
    found, doubts = list(counts.treatments if counts else ()), []
    for when, one in damage:
        chops = {name: n for i in test.inspections if i.when == when for name, n in i.chops.items()}
        for pair in pairs_of(groups) if when == "during" else ():
            ratio, said = damage_compared(one, chops, pair, level)
            found += [ratio] if ratio else []
            doubts += said
    if depths:
        found += [ratio for ratio in depths.ratios if ratio.scope in ("heat_treatments", "tools")]
    return tuple(found), (*_size_doubts(groups), *doubts)


def _size_doubts(groups):
    """What the numbers of blades do not allow."""
    for kind, blades in groups.items():
        if len(blades) == 1:
            yield doubt("one_blade_per_treatment", where=Where(value=kind))
    if all(len(blades) >= FEW for blades in groups.values()):
        few = [kind for kind, blades in groups.items() if len(blades) == FEW]
        if few:
            yield doubt("few_blades", where=Where(value=few[0]), many="blades", one="blade")
