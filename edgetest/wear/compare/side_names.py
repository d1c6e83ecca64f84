"""Who is compared: heat treatments, or of one blade each no more than the blades?"""


def side_names(blades_of, scope):
    """What each side of a ratio of lives is called; one blade goes by its own id.

    Parameters
    ----------
    blades_of : dict of str to sequence of str
        Blades of each heat treatment; none where they are not known.
    scope : str
        What the ratio speaks of, as `Comparison.scope` and `Pair.scope` have it.

    Returns
    -------
    dict of str to str
        By heat treatment: "P1" of one blade; of several "the 3 blades of tempered once" where
        the ratio speaks of blades, else the heat treatment itself.
    """
    return {name: _side(name, blades, scope) for name, blades in blades_of.items()}


def _side(name, blades, scope):
    """One side of a ratio."""
    if len(blades) == 1:
        return blades[0]
    if blades and scope == "blades":
        return f"the {len(blades)} blades of {name}"
    return name


LABELS = {"batches": "the batch of ", "blocks": "the lot of "}
OF_SEVERAL = {"batches": "{name} in its {parts} batches", "blocks": "{name} in its {parts} lots"}


def part_names(found, *treatments):
    """What heat treatments are called where a ratio speaks of their batches or lots alone.

    Parameters
    ----------
    found : Comparison
    *treatments : str

    Returns
    -------
    list of str
        "the batch of straw"; "blue in its 3 batches"; where a ratio speaks of more, as given.
    """
    if found.scope not in LABELS:
        return list(treatments)
    parts = {group.treatment: group.parts for group in found.groups}
    return [
        OF_SEVERAL[found.scope].format(name=name, parts=parts[name])
        if parts.get(name, 1) > 1
        else LABELS[found.scope] + name
        for name in treatments
    ]


def life_names(groups):
    """Whose life each group's is: a heat treatment's, or that of its one blade.

    Parameters
    ----------
    groups : sequence of dict
        As `Group.to_dict` tells them.

    Returns
    -------
    dict of str to str
        By heat treatment.
    """
    return side_names({one["treatment"]: one.get("blades", ()) for one in groups}, "")


def ratio_name(pair, groups, shorter=str):
    """Of whose lives a ratio is: "T1 : P1".

    Parameters
    ----------
    pair : dict
        `first`, `second` and `scope`, as `Comparison.to_dict` and `Pair.to_dict` tell them.
    groups : sequence of dict
    shorter : callable, optional
        What makes each name short enough for its place.

    Returns
    -------
    str
    """
    blades_of = {one["treatment"]: one.get("blades", ()) for one in groups}
    names = side_names(blades_of, pair.get("scope", ""))
    named = pair.get("scope") == "blades"
    of, over = (
        shorter(names.get(pair[key], pair[key]) if named else pair[key])
        for key in ("second", "first")
    )
    return f"{of} : {over}"
