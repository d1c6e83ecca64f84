"""How dense and how hard (Janka side hardness) the chopped wood was, at its moisture.

Relations of the Wood Handbook (FPL-GTR-190): specific gravity and density against moisture
(chapter 4), strength against moisture and hardness against specific gravity (chapter 5).
"""

import re
from dataclasses import dataclass
from math import exp, log, pi, sqrt

import numpy as np
from scipy.special import ndtri

from edgetest.chop.species import SPECIES, TABLE, find_species
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields

FIBRE_SATURATION_PCT = 30.0
# Table 5-11a, side hardness in N = factor * G**power: (12 % moisture), (green). The values at
# 12 % were read in a quotation of the table; those for green wood are from memory.
HARDNESS_OF_GRAVITY = {
    "hardwood": ((15300.0, 2.09), (16550.0, 2.31)),
    "softwood": ((8590.0, 1.49), (6230.0, 1.41)),
}
# Standard deviations of log(hardness). Boards of one species: 20 % (handbook Table 5-6, from
# memory). Species and density both known: half of that variance is taken to be density (no
# source). From density alone: that and the scatter of the tabled woods about the curve, 0.10.
SD_LOG_NAMED, SD_LOG_BOTH, SD_LOG_WEIGHED = 0.20, 0.14, 0.17

# Dressed sizes of softwood lumber after PS 20, inches: nominal -> (dry, green). Dry 2 and 4
# were read in a page that cites PS 20; the others are from memory.
DRESSED_IN = {
    1: (0.75, 0.78125),
    2: (1.5, 1.5625),
    3: (2.5, 2.5625),
    4: (3.5, 3.5625),
    5: (4.5, 4.625),
    6: (5.5, 5.625),
    8: (7.25, 7.5),
    10: (9.25, 9.5),
    12: (11.25, 11.5),
}


@dataclass(frozen=True)
class Wood:
    """What was chopped: density and side hardness at its moisture, and how they are known."""

    name: str
    kind: str
    moisture_pct: float
    density_kg_m3: float
    side_hardness_n: Estimate
    hardness_sd_log: float
    source: str
    doubts: tuple[Doubt, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self, without=("hardness_sd_log",))

    def summary(self):
        """The wood in a sentence."""
        return (
            f"{self.name} at {self.moisture_pct:.0f} % moisture: {self.density_kg_m3:.0f} kg/m³,"
            f" side hardness {self.side_hardness_n.value:.0f} N"
            f" ({self.side_hardness_n.low:.0f} to {self.side_hardness_n.high:.0f})"
        )


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


def moisture_pct(wet_mass_g, dry_mass_g):
    """Moisture content in percent of the oven-dry mass.

    Raises
    ------
    UnusableInput
        If the dry mass is not above zero or above the wet one.
    """
    if not 0 < dry_mass_g <= wet_mass_g:
        what = f"dry {dry_mass_g:g} g, wet {wet_mass_g:g} g"
        raise UnusableInput(what, "moisture", "weigh wet first, then oven-dry at 103 °C")
    return 100 * (wet_mass_g - dry_mass_g) / dry_mass_g


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
    (dry, dry_power), (green, green_power) = HARDNESS_OF_GRAVITY[_kind(kind)]
    return dry * specific_gravity_12**dry_power, green * basic**green_power


def _kind(kind):
    """The kind of wood, or an error that names the two."""
    if kind not in HARDNESS_OF_GRAVITY:
        mend = 'write "hardwood" or "softwood"'
        raise UnusableInput(f'"{kind}" is no kind of wood', "kind", mend)
    return kind


def _known_moisture(moisture):
    """Moisture to use and the warning that goes with leaving it out."""
    if moisture is None:
        return 12.0, (doubt("moisture_assumed"),)
    if not 0 <= moisture <= 250:
        what = f"{moisture:g} %"
        raise UnusableInput(what, "moisture_pct", "give percent of the oven-dry mass, 0 to 250")
    return float(moisture), ()


def _hardness(value_n, sd_log, level, method):
    """A hardness with its interval on the log scale."""
    spread = exp(float(ndtri(0.5 + level / 2)) * sd_log)
    return Estimate(value_n, value_n / spread, value_n * spread, "N", level, method)


def wood_of_species(name, *, moisture_pct=None, density_kg_m3=None, level=0.95):
    """The wood of a tabled species, sharpened by the billet's own density where weighed.

    Parameters
    ----------
    name : str
        Species as in the table ("oak, white") or turned round ("white oak").
    moisture_pct : float, optional
        Percent of the oven-dry mass; 12 is assumed, with a warning, where it is missing.
    density_kg_m3 : float, optional
        Density of the billet as weighed, with its water, kg/m³.
    level : float
        Coverage of the hardness interval.

    Returns
    -------
    Wood

    Raises
    ------
    UnusableInput
        If the species is unknown or the moisture or density impossible.
    """
    row = find_species(name)
    moisture, doubts = _known_moisture(moisture_pct)
    ratio = 1.0
    sd_log, source = SD_LOG_NAMED, TABLE
    basic_tabled = basic_specific_gravity(row.specific_gravity_12, 12)
    if density_kg_m3 is None:
        doubts += (doubt("wood_by_name_only", where=Where(value=row.name)),)
        density = 1000 * specific_gravity_at(moisture, basic_tabled) * (1 + moisture / 100)
    else:
        density = _possible_density(density_kg_m3)
        basic = basic_specific_gravity(density / (1000 * (1 + moisture / 100)), moisture)
        ratio = (basic / basic_tabled) ** HARDNESS_OF_GRAVITY[row.kind][0][1]
        sd_log, source = SD_LOG_BOTH, f"{TABLE}; shifted by the billet's own density"
    green = row.green_hardness_n
    if green is None:
        green = row.side_hardness_12_n / usual_dry_to_green(row.kind)
        doubts += (doubt("green_hardness_assumed", where=Where(value=row.name)),)
    value = ratio * hardness_at_n(moisture, row.side_hardness_12_n, green, row.intersection_pct)
    hardness = _hardness(value, sd_log, level, source)
    return Wood(row.name, row.kind, moisture, density, hardness, sd_log, source, doubts)


def _possible_density(density):
    """Density in kg/m³, refused where no wood has it."""
    if not 80 <= density <= 1500:
        mend = "give kg/m³ as weighed, between 80 and 1500"
        raise UnusableInput(f"{density:g} kg/m³ is no wood's density", "density_kg_m3", mend)
    return float(density)


def wood_by_weight(mass_g, volume_cm3, kind, *, moisture_pct=None, name="unnamed", level=0.95):
    """An unknown wood from a weighed and measured billet.

    Parameters
    ----------
    mass_g, volume_cm3 : float
        Of the billet as it was chopped.
    kind : str
        "hardwood" or "softwood".
    moisture_pct : float, optional
        Percent of the oven-dry mass; 12 assumed where missing.
    name : str
        What to call it.
    level : float
        Coverage of the hardness interval.

    Returns
    -------
    Wood
        Hardness from the handbook's relation to specific gravity (Table 5-11a).

    Raises
    ------
    UnusableInput
        If mass and volume give no wood's density.
    """
    moisture, doubts = _known_moisture(moisture_pct)
    if not volume_cm3 > 0:
        raise UnusableInput(f"{volume_cm3:g} cm³", "volume_cm3", "measure length, width, thickness")
    density = _possible_density(1000 * mass_g / volume_cm3)
    basic = basic_specific_gravity(density / (1000 * (1 + moisture / 100)), moisture)
    dry, green = hardness_from_gravity_n(specific_gravity_at(12, basic), kind)
    source = "weighed; Wood Handbook (FPL-GTR-190, 2010), Table 5-11a"
    hardness = _hardness(hardness_at_n(moisture, dry, green), SD_LOG_WEIGHED, level, source)
    return Wood(name, kind, moisture, density, hardness, SD_LOG_WEIGHED, source, doubts)


def hardness_of_billets(woods, boards=None):
    """Hardness of every billet, and the uncertainty that they share, for `fit_counts`.

    Parameters
    ----------
    woods : sequence of Wood
        One a billet.
    boards : sequence of str, optional
        Board of each billet; without it all billets of one wood are taken for one board.

    Returns
    -------
    tuple
        Side hardness, N, shape (n,), and the standard deviation of the log of their common
        error: billets of one board err together, boards err apart.
    """
    labels = [wood.name for wood in woods] if boards is None else [str(b) for b in boards]
    pieces = {
        (wood.name, label): wood.hardness_sd_log for wood, label in zip(woods, labels, strict=True)
    }
    if not pieces:
        raise UnusableInput("no billets", "wood", "give one wood a billet")
    mean_square = sum(sd**2 for sd in pieces.values()) / len(pieces)
    values = np.array([wood.side_hardness_n.value for wood in woods])
    return values, float(sqrt(mean_square / len(pieces)))


def usual_dry_to_green(kind):
    """Geometric mean of hardness at 12 % over green, over the tabled woods of a kind."""
    logs = [
        log(row.side_hardness_12_n / row.green_hardness_n)
        for row in SPECIES.values()
        if row.kind == kind and row.green_hardness_n
    ]
    return exp(sum(logs) / len(logs))


def lumber_mm(nominal, *, condition="dry"):
    """Real size of nominal lumber: '2x4' is 38.1 by 88.9 mm, dressed and dry.

    Parameters
    ----------
    nominal : str
        Nominal inches, 'thickness x width'.
    condition : str
        "dry" or "green" when it was dressed.

    Returns
    -------
    tuple of float
        Thickness and width, mm.

    Raises
    ------
    UnusableInput
        If the size is not one of softwood lumber's.
    """
    match = re.fullmatch(r"\s*(\d+)\s*[x×]\s*(\d+)\s*", nominal.lower())
    sizes = [int(part) for part in match.groups()] if match else []
    if not sizes or any(size not in DRESSED_IN for size in sizes):
        what = f'"{nominal}" is no nominal lumber size'
        raise UnusableInput(what, "lumber", "write it as 2x4, or measure width and thickness in mm")
    if condition not in ("dry", "green"):
        raise UnusableInput(f'"{condition}"', "condition", "write dry or green")
    column = 0 if condition == "dry" else 1
    thickness, width = (25.4 * DRESSED_IN[size][column] for size in sizes)
    return thickness, width


def cross_section_cm2(*, width_mm=None, thickness_mm=None, diameter_mm=None):
    """Cross-section of a billet in cm², from width and thickness or from its diameter.

    Raises
    ------
    UnusableInput
        If neither pair is given, both are, or a size is not above zero.
    """
    rectangle = width_mm is not None and thickness_mm is not None
    if rectangle == (diameter_mm is not None):
        mend = "give width and thickness, or the diameter"
        raise UnusableInput("no single cross-section follows", "billet", mend)
    sizes = (width_mm, thickness_mm) if rectangle else (diameter_mm,)
    if not all(size is not None and size > 0 for size in sizes):
        raise UnusableInput(f"size {sizes}", "billet", "give sizes above zero, in mm")
    if rectangle:
        return width_mm * thickness_mm / 100
    return pi * diameter_mm**2 / 400
