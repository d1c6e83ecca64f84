"""How dense and how hard (Janka side hardness) was the chopped wood, at its moisture?

By the relations of the Wood Handbook (FPL-GTR-190), chapters 4 and 5: `wood_relations`.
"""

from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from scipy.special import ndtri

from edgetest.chop.species import (
    BAMBOO,
    SPECIES,
    find_species,
    own_species,
    taken_as,
)
from edgetest.chop.wood_doubts import known_by_name, taken_name
from edgetest.chop.wood_relations import (
    FIBRE_SATURATION_PCT,
    HARDNESS_OF_GRAVITY,
    basic_specific_gravity,
    hardness_at_n,
    hardness_from_gravity_n,
    known_kind,
    specific_gravity_at,
)
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.estimate import Estimate, json_fields

# Standard deviations of log(hardness). Boards of one species: 20 % (handbook Table 5-6, from
# memory). Species and density both known: half of that variance is taken to be density (no
# source). Woods about the curve of the handbook: 0.16 over the 36 hardwoods of the table that
# are not the handbook's (0.10 over its own and over Williams' 36), 0.13 over its softwoods
# without the yews, which are harder by half. Weighed: the two together; reckoned from a
# species' published density: boards of a species and woods about the curve together.
SD_LOG_NAMED, SD_LOG_BOTH, SD_LOG_WEIGHED, SD_LOG_RECKONED = 0.20, 0.14, 0.21, 0.26

LIGHTEST_KG_M3, HEAVIEST_KG_M3 = 80, 1500  # no wood is lighter or heavier, with its water
# Words for the water in wood: percent taken, and how far it may be off (a standard deviation).
# Green: at or above fibre saturation (Wood Handbook, chapter 4), where hardness no longer
# changes. Air-dry: 12 to 15 % is the least that lumber comes to, the average is higher (a
# dictionary of the trade); 12 to 18 % outdoors under cover (common practice). Oven-dry: by
# definition (dried at 103 °C).
STATES = {
    "green": (FIBRE_SATURATION_PCT, 0.0, "30 % moisture or more, where hardness stays the same"),
    "air-dry": (14.0, 2.0, "14 % moisture, give or take 2"),
    "oven-dry": (0.0, 0.0, "no moisture"),
}
SAME_STATE = {
    "fresh": "green", "wet": "green", "unseasoned": "green", "air dry": "air-dry",
    "air-dried": "air-dry", "seasoned": "air-dry", "oven dry": "oven-dry",
    "oven-dried": "oven-dry",
}  # fmt: skip


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
    state: str = ""
    reckoned: bool = False

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self, without=("hardness_sd_log",))

    def summary(self):
        """The wood in a sentence."""
        more = " or more" if self.state == "green" else ""
        how = ", reckoned from its density" if self.reckoned else ""
        return (
            f"{self.name} at {self.moisture_pct:.0f} % moisture{more}:"
            f" {self.density_kg_m3:.0f} kg/m³{more}, side hardness"
            f" {self.side_hardness_n.value:.0f} N ({self.side_hardness_n.low:.0f} to"
            f" {self.side_hardness_n.high:.0f}){how}"
        )


@dataclass(frozen=True)
class Water:
    """The moisture that is reckoned with, how far it may be off, and the word for it."""

    pct: float
    sd_pct: float = 0.0
    state: str = ""
    doubts: tuple[Doubt, ...] = ()


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


def wood_state(word):
    """The state of wood that a word means ("green", "air-dry", "oven-dry"), or None."""
    clean = " ".join(str(word).casefold().split())
    clean = SAME_STATE.get(clean, clean)
    return clean if clean in STATES else None


def water_of(moisture):
    """Moisture to use, of a number of percent, a word or nothing, and the doubts that go with it.

    Raises
    ------
    UnusableInput
        If it is no moisture of wood.
    """
    if moisture is None:
        return Water(12.0, doubts=(doubt("moisture_assumed"),))
    if isinstance(moisture, str):
        state = wood_state(moisture)
        if state is None:
            mend = f"write percent of the oven-dry mass, or {', '.join(STATES)}"
            raise UnusableInput(f'"{moisture}" is no moisture', "moisture_pct", mend)
        pct, sd_pct, means = STATES[state]
        word = " ".join(moisture.casefold().split())
        named = state if word == state else f'"{word}" counts as {state}, and that'
        told = doubt("moisture_by_word", state=named, means=means, where=Where(value=state))
        return Water(pct, sd_pct, state, (told,))
    if not 0 <= moisture <= 250:
        what = f"{moisture:g} %"
        raise UnusableInput(what, "moisture_pct", "give percent of the oven-dry mass, 0 to 250")
    return Water(float(moisture))


def _hardness(value_n, sd_log, level, method):
    """A hardness with its interval on the log scale."""
    spread = exp(float(ndtri(0.5 + level / 2)) * sd_log)
    return Estimate(value_n, value_n / spread, value_n * spread, "N", level, method)


def _with_water(sd_log, water, dry_n, green_n, intersection_pct=25.0):
    """The spread of the log hardness, with that of a moisture known by a word only."""
    slope = log(dry_n / green_n) / (intersection_pct - 12)
    return float(sqrt(sd_log**2 + (slope * water.sd_pct) ** 2))


def wood_of_species(name, *, moisture_pct=None, density_kg_m3=None, own=(), level=0.95):
    """The wood of a known species, sharpened by the billet's own density where weighed.

    Parameters
    ----------
    name : str
        Species as in the table ("oak, white") or turned round ("white oak").
    moisture_pct : float or str, optional
        Percent of the oven-dry mass, or "green", "air-dry", "oven-dry"; 12 is assumed, with a
        warning, where it is missing.
    density_kg_m3 : float, optional
        Density of the billet as weighed, with its water, kg/m³.
    own : iterable of Species
        Woods of the maker's own.
    level : float
        Coverage of the hardness interval.

    Returns
    -------
    Wood

    Raises
    ------
    UnusableInput
        If the species is unknown or means several, or the moisture or density is impossible.
    """
    row = find_species(name, own)
    water = water_of(moisture_pct)
    doubts = water.doubts
    if row.region != "own" and taken_as(name):
        doubts += (taken_name(name, row),)
    if density_kg_m3 is not None and water.state == "green":
        doubts += (doubt("green_density_unused", where=Where(value=row.said)),)
        density_kg_m3 = None
    ratio, source = 1.0, row.source
    basic_tabled = basic_specific_gravity(row.specific_gravity_12, 12)
    if density_kg_m3 is None:
        doubts += known_by_name(row, water)
        density = 1000 * specific_gravity_at(water.pct, basic_tabled) * (1 + water.pct / 100)
    else:
        density = _possible_density(density_kg_m3)
        basic = basic_specific_gravity(density / (1000 * (1 + water.pct / 100)), water.pct)
        ratio = (basic / basic_tabled) ** HARDNESS_OF_GRAVITY[row.kind][0][1]
        source += "; shifted by the billet's own density"
        if row.reckoned:
            doubts += (doubt("wood_reckoned", wood=row.said, then="Write"),)
    green = row.green_hardness_n
    if green is None:
        green = row.side_hardness_12_n / usual_dry_to_green(row.kind)
        if water.pct != 12 or water.doubts:  # at the table's 12 % nothing of it counts
            doubts += (doubt("green_hardness_assumed", wood=row.said, where=Where(value=row.said)),)
    elif water.pct != 12:
        source += f"; green side hardness: {row.green_source}"
    dry = row.side_hardness_12_n
    value = ratio * hardness_at_n(water.pct, dry, green, row.intersection_pct)
    sd_log = _sd_log(row, density_kg_m3 is not None)
    sd_log = _with_water(sd_log, water, dry, green, row.intersection_pct)
    hardness = _hardness(value, sd_log, level, source)
    return Wood(
        row.said, row.kind, water.pct, density, hardness, sd_log, source, doubts, water.state,
        row.reckoned,
    )  # fmt: skip


def _sd_log(row, weighed):
    """Standard deviation of the log hardness, by what is known of the wood."""
    if row.reckoned:
        return SD_LOG_WEIGHED if weighed or row.region == "own" else SD_LOG_RECKONED
    return SD_LOG_BOTH if weighed or row.region == "own" else SD_LOG_NAMED


def measured_wood(name, kind, density_kg_m3, moisture_pct, hardness_n=None):
    """A wood of the maker's own as a species, from what was measured at one moisture.

    Parameters
    ----------
    name, kind : str
        "hardwood" or "softwood".
    density_kg_m3 : float
        With its water.
    moisture_pct : float
        Percent of the oven-dry mass.
    hardness_n : float, optional
        Side hardness at that moisture; without it, it is reckoned.

    Returns
    -------
    Species
    """
    density = _possible_density(density_kg_m3)
    basic = basic_specific_gravity(density / (1000 * (1 + moisture_pct / 100)), moisture_pct)
    gravity = specific_gravity_at(12, basic)
    if hardness_n is not None:
        # The relation of hardness to moisture, from the usual ratio of 12 % to green.
        ratio = usual_dry_to_green(known_kind(kind))
        hardness_n = hardness_n / hardness_at_n(moisture_pct, 1.0, 1 / ratio)
    return own_species(name, kind, gravity, hardness_n)


def _possible_density(density):
    """Density in kg/m³, refused where no wood has it."""
    if not LIGHTEST_KG_M3 <= density <= HEAVIEST_KG_M3:
        mend = f"give kg/m³ as weighed, between {LIGHTEST_KG_M3} and {HEAVIEST_KG_M3}"
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
    moisture_pct : float or str, optional
        Percent of the oven-dry mass, or "air-dry", "oven-dry"; 12 assumed where missing.
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
    water = water_of(moisture_pct)
    if water.state == "green":
        mend = "weigh a slice wet and oven-dry, and give its moisture in percent"
        raise UnusableInput(
            "green wood's density means nothing until you know its water", "moisture_pct", mend
        )
    if not volume_cm3 > 0:
        raise UnusableInput(f"{volume_cm3:g} cm³", "volume_cm3", "measure length, width, thickness")
    density = _possible_density(1000 * mass_g / volume_cm3)
    basic = basic_specific_gravity(density / (1000 * (1 + water.pct / 100)), water.pct)
    dry, green = hardness_from_gravity_n(specific_gravity_at(12, basic), known_kind(kind))
    source = "weighed; Wood Handbook (FPL-GTR-190, 2010), Table 5-11a"
    doubts = water.doubts + ((doubt("culm_no_wood"),) if BAMBOO.search(name.lower()) else ())
    sd_log = _with_water(SD_LOG_WEIGHED, water, dry, green)
    hardness = _hardness(hardness_at_n(water.pct, dry, green), sd_log, level, source)
    return Wood(name, kind, water.pct, density, hardness, sd_log, source, doubts, water.state, True)


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
