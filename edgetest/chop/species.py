"""Which wood is meant by a name, how dense and hard is it, and how is that known?

The table is in `wood_table`; a wood of the maker's own comes beside it. A name that means
woods of several continents is asked about, never decided. Which name is in use where is common
practice, no source.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from edgetest.chop.wood_names import (
    LOOSE_NAMES,
    OTHER_NAMES,
    SEVERAL,
    TRADE_GROUPS,
    UNTABLED,
    WATER_WORDS,
)
from edgetest.chop.wood_relations import hardness_from_gravity_n, specific_gravity_at
from edgetest.chop.wood_table import BLOCKS, GREEN_FROM_MEMORY, SOURCES
from edgetest.errors import UnusableInput
from edgetest.no_numbers import NOTHING_READ

RECKONED = (
    "reckoned from the density (Wood Handbook, FPL-GTR-190, 2010, Table 5-11a): no published"
    " side hardness was found"
)
OWN = "as measured by the maker (study.toml)"
# Share of letters that a misspelt name must have in common with the one offered: "hornbeem" to
# "hornbeam" is 0.88, "blackthorn" to "black locust" 0.55, "ironbark" to "ironwood" 0.50.
ALIKE = 0.8
WOODS_TOLD = 9  # of those that one name may mean, named in one line; of more, a few and the way on
# Words that a maker writes for wood and that name no species: no name is near them.
NO_SPECIES = {
    *("firewood", "wood", "timber", "lumber", "log", "logs", "branch", "kindling", "pallet"),
    *("scrap", "scrap wood", "hardwood", "softwood", "green wood", "driftwood", "plywood"),
}


def turned_name(name):
    """A table's name as one says it."""
    group, _, which = name.partition(", ")
    return f"{which} {group}" if which else group


@dataclass(frozen=True)
class Species:
    """One wood; each of its two figures with its own source.

    `region` is "European", "Asian", "American" or "own"; `green_hardness_n` is None where none
    is known; `reckoned` says that the hardness follows from the density alone.
    """

    name: str
    kind: str
    specific_gravity_12: float
    side_hardness_12_n: float
    green_hardness_n: float | None = None
    intersection_pct: float = 25.0
    botanical: str = ""
    region: str = "own"
    density_source: str = OWN
    hardness_source: str = OWN
    green_source: str = OWN

    @property
    def said(self) -> str:
        """The name as one says it: the table's "ash, European" is "European ash"."""
        return self.name if self.region == "own" else turned_name(self.name)

    @property
    def reckoned(self) -> bool:
        """Whether the hardness was reckoned from the density."""
        return self.hardness_source == RECKONED

    @property
    def source(self) -> str:
        """Where both figures come from, in one sentence."""
        if self.density_source == self.hardness_source:
            return self.density_source
        return f"density: {self.density_source}; side hardness: {self.hardness_source}"


def _gravity_12(text):
    """Specific gravity at 12 % from a density as the table writes it."""
    number, basis = float(text[:-1]), text[-1]
    if basis == "k":
        return number / 1120
    return number if basis == "g" else specific_gravity_at(12, number)


def _rows(region, kind, text):
    """Species of one block of the table."""
    for line in text.strip().splitlines():
        name, botanical, density, *rest = line.split("|")
        value, source = density.split()
        gravity = _gravity_12(value)
        hardness, green, intersection = (*rest, "", "", "")[:3]
        green, _, green_told = green.partition(" ")
        if hardness:
            number, told = hardness.split()
            hardness_n, hardness_source = float(number), SOURCES[told]
        else:
            hardness_n, hardness_source = hardness_from_gravity_n(gravity, kind)[0], RECKONED
        yield Species(
            name,
            kind,
            gravity,
            hardness_n,
            float(green) if green else None,
            float(intersection) if intersection else 25.0,
            botanical,
            region,
            SOURCES[source],
            hardness_source,
            SOURCES.get(green_told, GREEN_FROM_MEMORY),
        )


SPECIES = {row.name.lower(): row for block in BLOCKS for row in _rows(*block)}


_TURNED = {turned_name(name): row for name, row in SPECIES.items()}
BAMBOO = re.compile(r"\bbamboo\b")
# A wood as the list of woods prints it: common name, botanical name and, or not, its region.
LISTED = re.compile(r"(.+?) ?\(([^()]+)\)(?:, ?(?:european|asian|american))?")


def own_species(name, kind, specific_gravity_12, hardness_12_n=None):
    """A wood of the maker's own: its density, and its side hardness where that was measured."""
    told = hardness_12_n is not None
    hardness = hardness_12_n if told else hardness_from_gravity_n(specific_gravity_12, kind)[0]
    source = OWN if told else RECKONED
    return Species(name, kind, specific_gravity_12, hardness, hardness_source=source)


def find_species(name, own: Iterable[Species] = ()):
    """The wood of this name, written 'oak, white' or 'white oak', in any case.

    Parameters
    ----------
    name : str
        Common or botanical name, or both: "hazel (Corylus avellana)".
    own : iterable of Species
        Woods of the maker's own; they go before the table's.

    Raises
    ------
    UnusableInput
        If the name means several woods (all are named), no density of the wood is published, or
        no such wood is known; the message says how to write it and how to do without.
    """
    mine = {_plain(row.name): row for row in own}
    key = _wood_key(name) if _plain(name) not in mine else _plain(name)
    if key in mine:
        return mine[key]
    found = _named(key)
    if found is not None:
        return found
    if key in TRADE_GROUPS:
        raise UnusableInput(*_of_trade(name, TRADE_GROUPS[key]))
    group = _group(key)
    if group:
        raise UnusableInput(f'"{name}" means several woods', "species", _which(key, group, name))
    _refuse_no_name(name, key)
    if BAMBOO.search(key):
        what = f'"{name}" is a grass: its stem is not wood, and no side hardness stands for it'
        raise UnusableInput(what, "species", _way_out("bamboo", "hardwood"))
    if key in UNTABLED:
        what = f'no published density of "{name}" was found'
        raise UnusableInput(what, "species", _way_out(name, UNTABLED[key]))
    bare = key.partition(" (")[0]
    one = _named(bare)
    meant = [one] if one is not None else _group(bare) or _near(bare, mine)
    near = [] if key in NO_SPECIES else meant
    offer = f"did you mean {' or '.join(_said(row) for row in near)}? Or " if near else ""
    what = f'"{name}" is not in the table of woods'
    raise UnusableInput(what, "species", offer + _way_out(name, *{row.kind: None for row in near}))


def _refuse_no_name(name, key):
    """Refuse a word for nothing, and a wood with its water before it, which has its own column."""
    if key in NOTHING_READ:
        mend = "leave it blank where the wood is not known"
        raise UnusableInput(f'"{name}" is no wood', "species", mend)
    state, _, bare = key.partition(" ")
    if state in WATER_WORDS and (_named(bare) is not None or _group(bare)):
        mend = f'write the species "{bare}", and {WATER_WORDS[state]} under moisture_pct'
        raise UnusableInput(f'"{name}" is a wood and its water', "species", mend)


def _of_trade(name, members):
    """Fault, place and mend of a name that means a group of woods sold as one."""
    woods = [SPECIES[one] for one in members]
    hard = sorted(row.side_hardness_12_n for row in woods)
    what = (
        f'"{name}" is a group of the lumber trade, no one wood: a board of it is any of '
        f"{len(woods)} woods of {hard[0]:.0f} to {hard[-1]:.0f} N side hardness, so none is taken"
    )
    known = ", ".join(_said(row) for row in woods)
    return (
        what,
        "species",
        f"write the wood if you know it ({known}); else {_way_out(name, 'softwood')}",
    )


def said_as(name):
    """A wood's one name, whichever of its names was typed; as typed where the table lacks it."""
    key = _wood_key(name)
    row = _named(key) if key else None
    return name if row is None else row.said


def names_a_wood(name, own: Iterable[Species] = ()):
    """Whether a name means a wood or a group of woods, with published figures or without."""
    key = _wood_key(name)
    if key in UNTABLED or any(key == row.name.lower() for row in own):
        return True
    return bool(key) and (_named(key) is not None or bool(_group(key)))


def wood_group(name):
    """The short name of a wood of the table, "ash" of "European ash"; else the name."""
    row = _named(_wood_key(name))
    return name if row is None else row.name.partition(", ")[0]


def taken_as(name):
    """The wood that a loose name ("Douglas-fir") was taken for, or None where it is exact."""
    return LOOSE_NAMES.get(_wood_key(name))


def word_of_water(name):
    """The word by a wood's name that may as well be its water: "green" of "green ash"."""
    key = _wood_key(name)
    word, _, bare = (turned_name(key) if ", " in key else key).partition(" ")
    return word if taken_as(name) and word in WATER_WORDS and _group(bare) else ""


def _plain(name):
    """A name in small letters, a space between its words."""
    return " ".join(name.lower().split())


def _wood_key(name):
    """A name as it is looked up; of a common name with its own botanical name, the one wood's."""
    key = _plain(name)
    listed = LISTED.fullmatch(key)
    if listed is None:
        return key
    for common, latin in (listed.groups(), listed.groups()[::-1]):
        one = _named(common)
        meant = _group(common) if one is None else [one]
        meant = [row for row in meant if row.botanical.lower() == latin]
        if len(meant) == 1:
            return meant[0].said.lower()
    return key


def _named(key):
    """The one wood of a name, or None."""
    key = LOOSE_NAMES.get(key) or OTHER_NAMES.get(key, key)
    for form in _forms(key):
        if form in SPECIES or form in _TURNED:
            return SPECIES.get(form) or _TURNED[form]
    return next((row for row in SPECIES.values() if row.botanical.lower() == key), None)


def _forms(key):
    """A name as it stands, and "English ash" as "ash, European"."""
    yield key
    for word in ("english ", "common ", "british "):
        if key.startswith(word):
            yield f"european {key.removeprefix(word)}"


def _group(key):
    """All woods that a bare name ("ash") means; none where it is no such name."""
    named = [row for row in SPECIES.values() if row.name.lower().startswith(f"{key}, ")]
    named += [SPECIES[other] for other in SEVERAL.get(key, ()) if SPECIES[other] not in named]
    return named


def _which(key, group, name):
    """The question that an ambiguous name asks: by region, with every way to write it."""
    regions = [
        r for r in ("European", "Asian", "American") if any(row.region == r for row in group)
    ]
    ask = f"{key}: {' or '.join(regions)}? " if len(regions) > 1 else ""
    each = [[row for row in group if row.region == region] for region in regions]
    few = None if len(group) <= WOODS_TOLD else WOODS_TOLD // len(regions)
    told = "; ".join(
        f"{region}: {', '.join(_said(row) for row in rows[:few])}"
        for region, rows in zip(regions, each, strict=True)
    )
    told += f" (a few of {len(group)}: `edgetest woods {key}` lists all)" if few else ""
    kind = group[0].kind
    return f"{ask}Write one of {told}; if none is it, {_way_out(name, kind)}"


def _said(row):
    """A wood's name as one says it, between quotes."""
    return f'"{row.said}"'


def _way_out(name, *kinds):
    """How to go on with a wood that has no figures; both kinds where none of them is known."""
    forms = " or ".join(f'"{name} ({kind})"' for kind in kinds or ("hardwood", "softwood"))
    return (
        f"weigh it: write {forms} and give density_kg_m3 (or mass_g and length_mm) of"
        f" the piece, or its density once under [[woods]] of study.toml"
    )


def _near(key, mine):
    """Woods whose name was probably misspelt, or that share the last word of a longer name."""
    loose = {one: row for one in (*LOOSE_NAMES, *OTHER_NAMES) if (row := _named(one)) is not None}
    names = {**_TURNED, **loose, **mine}
    groups = {row.name.lower().partition(", ")[0] for row in SPECIES.values()}
    if near := get_close_matches(key, names, n=3, cutoff=ALIKE):
        return list({names[one].name: names[one] for one in near}.values())
    last = key.rpartition(" ")[2]
    spelt = last if last in groups else next(iter(get_close_matches(last, groups, 1, ALIKE)), "")
    return [
        row for row in SPECIES.values() if spelt and row.name.lower().partition(", ")[0] == spelt
    ]
