"""Woods by name: specific gravity and side (Janka) hardness from the Wood Handbook.

Values at 12 % moisture: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010),
Table 5-3a (metric), read in copies of that table, not in the handbook's own file.
Green hardness and the moisture at which strength starts to change (handbook Table 5-13,
25 % where a wood is not listed) are from memory of the same handbook, unverified, except
sugar maple's green hardness (970 lbf), which a flooring association's data page repeats.
"""

from dataclasses import dataclass
from difflib import get_close_matches

from edgetest.errors import UnusableInput

TABLE = "Wood Handbook (FPL-GTR-190, 2010), Table 5-3a"


@dataclass(frozen=True)
class Species:
    """One wood of the table; `green_hardness_n` is None where none is remembered."""

    name: str
    kind: str
    specific_gravity_12: float
    side_hardness_12_n: float
    green_hardness_n: float | None
    intersection_pct: float = 25.0


_HARDWOODS = """
alder, red|0.41|2600|2000
ash, black|0.49|3800|2300
ash, green|0.56|5300|3900
ash, white|0.60|5900|4300|24
aspen, quaking|0.38|1600|1300
basswood|0.37|1800|1100
beech, American|0.64|5800|3800
birch, paper|0.55|4000|2500
birch, sweet|0.65|6500|4300
birch, yellow|0.62|5600|3500|27
butternut|0.38|2200|1700
cherry, black|0.50|4200|2900
cottonwood, eastern|0.40|1900|1500
elm, American|0.50|3700|2800
hackberry|0.53|3900|3100
hickory, mockernut|0.72|8800|
hickory, pecan|0.66|8100|5800
hickory, pignut|0.75|9500|
hickory, shagbark|0.72|8400|
locust, black|0.69|7600|7000
maple, bigleaf|0.48|3800|2800
maple, red|0.54|4200|3100
maple, silver|0.47|3100|2600
maple, sugar|0.63|6400|4300
oak, bur|0.64|6100|4900
oak, northern red|0.63|5700|4400
oak, southern red|0.59|4700|3800
oak, white|0.68|6000|4700
sweetgum|0.52|3800|2700
sycamore, American|0.49|3400|2700
walnut, black|0.55|4500|4000
yellow-poplar|0.42|2400|2000
"""
_SOFTWOODS = """
baldcypress|0.46|2300|1700
Douglas-fir, coast|0.48|3200|2200|24
Douglas-fir, interior west|0.50|2900||24
fir, balsam|0.35|1700|1300
fir, white|0.39|2100|1500
hemlock, eastern|0.40|2200|1800
hemlock, western|0.45|2400|1800|28
larch, western|0.52|3700|2300|28
pine, eastern white|0.35|1700|1300
pine, jack|0.43|2500|1800
pine, loblolly|0.51|3100|2000|21
pine, lodgepole|0.41|2100|1500
pine, longleaf|0.59|3900|2600|21
pine, ponderosa|0.40|2000|1400
pine, red|0.46|2500|1500|24
pine, shortleaf|0.51|3100|2000
pine, sugar|0.36|1700|1200
pine, western white|0.35|1900|1200
redcedar, eastern|0.47|4000|2900
redcedar, western|0.32|1600|1200
redwood, old-growth|0.40|2100|1800|21
redwood, young-growth|0.35|1900|1600|21
spruce, black|0.42|2400|
spruce, Engelmann|0.35|1750|1150
spruce, red|0.40|2200|1600|27
spruce, Sitka|0.40|2300|1600|27
spruce, white|0.36|1800|
tamarack|0.53|2600|1700|24
"""
OTHER_NAMES = {
    "hard maple": "maple, sugar",
    "rock maple": "maple, sugar",
    "soft maple": "maple, red",
    "red oak": "oak, northern red",
    "ash": "ash, white",
    "beech": "beech, American",
    "tulip poplar": "yellow-poplar",
    "poplar, yellow": "yellow-poplar",
    "douglas-fir": "Douglas-fir, coast",
    "douglas fir": "Douglas-fir, coast",
    "american basswood": "basswood",
    "lime, american": "basswood",
    "western redcedar": "redcedar, western",
}


def _rows(text, kind):
    """Species of one block of the table."""
    for line in text.strip().splitlines():
        name, gravity, hardness, *rest = line.split("|")
        green = float(rest[0]) if rest[0] else None
        intersection = float(rest[1]) if len(rest) > 1 else 25.0
        yield Species(name, kind, float(gravity), float(hardness), green, intersection)


SPECIES = {
    row.name.lower(): row
    for row in (*_rows(_HARDWOODS, "hardwood"), *_rows(_SOFTWOODS, "softwood"))
}


def find_species(name):
    """The wood of this name, written 'oak, white' or 'white oak', in any case.

    Raises
    ------
    UnusableInput
        If the table has no such wood; the message offers near names.
    """
    key = " ".join(name.lower().split())
    key = OTHER_NAMES.get(key, key).lower()
    if key in SPECIES:
        return SPECIES[key]
    first, _, last = key.rpartition(" ")
    turned = f"{last}, {first}"
    if turned in SPECIES:
        return SPECIES[turned]
    near = get_close_matches(key, SPECIES, n=3, cutoff=0.5)
    near += [known for known in SPECIES if last and last in known and known not in near][:6]
    offer = "use one of: " + "; ".join(near) + "; or " if near else ""
    what = f'"{name}" is not in the table of woods'
    raise UnusableInput(what, "species", f"{offer}weigh and measure the billet")
