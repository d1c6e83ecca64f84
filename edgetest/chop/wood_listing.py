"""Which woods are known, and what is known of each?"""

from dataclasses import asdict, dataclass
from difflib import get_close_matches

from edgetest.chop.species import SPECIES, find_species
from edgetest.chop.wood import wood_of_species
from edgetest.chop.wood_relations import density_kg_m3
from edgetest.errors import UnusableInput
from edgetest.estimate import format_estimate

MOISTURE_PCT = 12.0  # of every figure listed


@dataclass(frozen=True)
class ListedWood:
    """One known wood at 12 % moisture; `low` and `high` bound its side hardness, N, 95 %."""

    name: str
    botanical: str
    region: str
    density_kg_m3: float
    density_source: str
    hardness_n: float
    low: float
    high: float
    hardness_source: str

    def to_dict(self):
        """Plain values for JSON."""
        return asdict(self)

    def summary(self):
        """The wood in a line."""
        latin = f" ({self.botanical})" if self.botanical else ""
        hard = format_estimate(self.hardness_n, self.low, self.high)
        return (
            f"{self.name}{latin}, {self.region}: {self.density_kg_m3:.0f} kg/m³, side hardness "
            f"{hard} N"
        )


def listed_woods(part: str = "") -> tuple[ListedWood, ...]:
    """Woods whose name, botanical name or kind holds `part`, by name; all of them for "".

    Returns
    -------
    tuple of ListedWood
        Densities in kg/m³, side (Janka) hardnesses in N, all at 12 % moisture.
    """
    wanted = part.strip().casefold()
    found = []
    for row in SPECIES.values():
        if wanted not in f"{row.name} {row.botanical} {row.kind}".casefold():
            continue
        hardness = wood_of_species(row.name, moisture_pct=MOISTURE_PCT).side_hardness_n
        density = density_kg_m3(row.specific_gravity_12, MOISTURE_PCT)
        found.append(
            ListedWood(
                row.name,
                row.botanical,
                row.region,
                density,
                row.density_source,
                hardness.value,
                hardness.low,
                hardness.high,
                row.hardness_source,
            )
        )
    return tuple(sorted(found, key=lambda wood: wood.name.casefold()))


def said_of_wood(name: str) -> str:
    """What a chop log would be told of a name that no listed wood holds; "" for an unknown one."""
    try:
        row = find_species(name)
    except UnusableInput as fault:
        return "" if fault.what.endswith("in the table of woods") else f"{fault.what}; {fault.mend}"
    (wood,) = [one for one in listed_woods(row.name) if one.name == row.name]
    return f'"{name}" is taken for {wood.summary()}'


def nearest_wood(name: str) -> str:
    """The known wood whose name, or a word of it, is written most like `name`; "" for none."""
    woods = {wood.name.casefold(): wood.name for wood in listed_woods()}
    by_word = {word: full for low, full in woods.items() for word in low.split()} | woods
    near = get_close_matches(name.casefold(), by_word, n=1, cutoff=0.7)
    return by_word[near[0]] if near else ""
