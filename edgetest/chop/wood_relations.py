"""How do density, moisture and side hardness of wood hang together?

Relations of the Wood Handbook (FPL-GTR-190): specific gravity and density against moisture
(chapter 4), strength against moisture and hardness against specific gravity (chapter 5).
"""

from edgetest.errors import UnusableInput

FIBRE_SATURATION_PCT = 30.0
# Table 5-11a, side hardness in N = factor * G**power: (12 % moisture), (green). The values at
# 12 % were read in a quotation of the table; those for green wood are from memory.
HARDNESS_OF_GRAVITY = {
    "hardwood": ((15300.0, 2.09), (16550.0, 2.31)),
    "softwood": ((8590.0, 1.49), (6230.0, 1.41)),
}


def specific_gravity_at(moisture_pct, basic_specific_gravity):
    """Oven-dry mass over volume at this moisture, from basic (green) specific gravity.

    Above 30 % the wood no longer swells and the basic value holds.

    References
    ----------
    .. [1] Wood Handbook, chapter 4 (chapter 3 in 1999): Gx = Gb / (1 - 0.265 a Gb),
       a = (30 - x) / 30.
    """
    a = max(0.0, (FIBRE_SATURATION_PCT - moisture_pct) / FIBRE_SATURATION_PCT)
    return basic_specific_gravity / (1 - 0.265 * a * basic_specific_gravity)


def basic_specific_gravity(specific_gravity, moisture_pct):
    """Basic (green-volume) specific gravity from that at a moisture; undoes the relation above."""
    a = max(0.0, (FIBRE_SATURATION_PCT - moisture_pct) / FIBRE_SATURATION_PCT)
    return specific_gravity / (1 + 0.265 * a * specific_gravity)


def density_kg_m3(specific_gravity, moisture_pct):
    """Density with its water: 1000 Gx (1 + x/100), Gx on the volume at that moisture."""
    return 1000 * specific_gravity * (1 + moisture_pct / 100)


def hardness_at_n(moisture_pct, at_12_n, green_n, intersection_pct=25.0):
    """Side (Janka) hardness at a moisture between the tabled dry and green values.

    References
    ----------
    .. [1] Wood Handbook, chapter 5: P = P12 (P12/Pg)^((12 - M)/(Mp - 12)), for M below the
       intersection moisture Mp; above it, the green value.
    """
    if moisture_pct >= intersection_pct:
        return green_n
    power = (12 - moisture_pct) / (intersection_pct - 12)
    return at_12_n * (at_12_n / green_n) ** power


def hardness_from_gravity_n(specific_gravity_12, kind):
    """Side hardness (12 % moisture, green) in N that a specific gravity leads one to expect."""
    basic = basic_specific_gravity(specific_gravity_12, 12)
    (dry, dry_power), (green, green_power) = HARDNESS_OF_GRAVITY[known_kind(kind)]
    return dry * specific_gravity_12**dry_power, green * basic**green_power


def known_kind(kind):
    """The kind of wood, or an error that names the two."""
    if kind not in HARDNESS_OF_GRAVITY:
        mend = 'write "hardwood" or "softwood"'
        raise UnusableInput(f'"{kind}" is no kind of wood', "kind", mend)
    return kind
