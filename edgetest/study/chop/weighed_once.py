"""A tool that was weighed once needs its mass typed once: under its blade, or with its swing."""

from edgetest.units import as_typed

PENDULUM = frozenset({"pivot_mm", "swings", "seconds"})


def weighed_once(table, blade):
    """A pendulum's table with the mass that was typed of its blade, where it has none of its own.

    Parameters
    ----------
    table : mapping
        `[handling]` of one blade, as written.
    blade : Blade

    Returns
    -------
    mapping
        `mass_g` added in g where a pendulum test lacks it and the blade has one.
    """
    hung = PENDULUM & set(table) and "mass_g" not in table
    if not hung or blade.mass_g is None:
        return table
    return {**table, "mass_g": as_typed(blade.mass_g, "g")}
