"""Which care does a tool ask for, by what was typed of its steel, finish, handle and hardness?

Common practice, no source. Nothing is said of what nobody typed.
"""

from edgetest.units import as_typed

HARD_HRC = 60.0  # from here on an edge is not levered with; common practice, no source
WOODEN = ("ash", "hickory", "beech", "oak", "elm", "maple", "birch", "cherry", "walnut", "wood",
          "boxwood", "plum", "pear", "apple", "hornbeam")  # fmt: skip


def care_lines(tested, parts=()):
    """Care of one tool, a line each.

    Parameters
    ----------
    tested : Blade
    parts : sequence of str
        Names of what is fixed to it, such as "ash scales".

    Returns
    -------
    list of str
        Empty where nothing was typed that bears on it.
    """
    return [line for line in (_rust(tested.steel), _handle(parts), _edge(tested), _hard(tested))
            if line]  # fmt: skip


def _rust(steel):
    """Against rust, by what the steel is said to be."""
    if not steel:
        return ""
    if "stainless" in steel.casefold():
        return "Rinse and dry it after use: stainless steel stains too."
    return "Wipe off sap, dry it after use and oil the steel."


def _handle(parts):
    """Of a wooden handle."""
    words = {word for part in parts for word in part.casefold().replace(",", " ").split()}
    return "Oil the wood of its handle once a year." if words & set(WOODEN) else ""


def _edge(tested):
    """How to touch it up, by the finish and the angle that were typed."""
    finish = tested.edge_finish.casefold()
    side, whole = tested.angle_per_side_deg, tested.included_angle_given_deg
    angle = f" at {as_typed(side, 'deg')} per side" if side is not None else ""
    angle = f" at {as_typed(whole, 'deg')} included" if whole is not None else angle
    if not finish and not angle:
        return ""
    keep = ", keeping it convex" if "convex" in finish else ""
    strop = "; then strop it" if "strop" in finish else ""
    return f"Touch it up on a fine stone{angle}{keep}{strop}."


def _hard(tested):
    """Against levering, where the measured hardness asks for it."""
    hardest = max(tested.hardness_hrc, default=0.0)
    return "Do not twist or lever with the edge: it is hard." if hardest >= HARD_HRC else ""
