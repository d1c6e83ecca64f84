"""Of what wood, at which water, is a piece that was not chopped?"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from edgetest.chop.as_chopped import GREEN_PCT
from edgetest.chop.species import find_species, taken_as
from edgetest.chop.wood import Wood, measured_wood, wood_of_species
from edgetest.chop.wood_doubts import taken_name
from edgetest.doubts import Doubt
from edgetest.errors import UnusableInput
from edgetest.study.chop.piece_woods import KIND, bare_name, own_woods

WISH = "the piece to reckon for"  # what a fault is about: an option, or a key of study.toml
_OWN = "weigh it and write its density under [[woods]] of study.toml"


@dataclass(frozen=True)
class WishedWood:
    """The wood of a wish and where its water comes from, see `Reckoned`.

    `taken` holds a doubt where the name that was written means several woods, and one is usual.
    """

    wood: Wood
    water_from: str
    taken: tuple[Doubt, ...] = ()


def wished_wood(result: Any, name: str, water: str | float | None) -> WishedWood | None:
    """The wood of a wish, the chopped one where none is named; None where it is not known.

    A wood that the log spells with its kind, "pine (softwood)", has the density weighed there.
    Water that nobody wrote is that of the pieces of this wood, else that of all pieces.

    Parameters
    ----------
    result : ChopResult
    name : str
        As written in the wish; "" where no wood is named.
    water : str or float or None
        A word or per cent; None where it is not written.

    Raises
    ------
    UnusableInput
        If the wood is not known, or the pieces that its water is taken from differ too far.
    """
    known = [one.wood for one in result.pieces if one.wood]
    if not name:
        if len({wood.name for wood in known}) > 1:
            raise UnusableInput("several woods were chopped", WISH, "name one before the size")
        if not known:
            return None
        if water is None and len({wood.moisture_pct for wood in known}) == 1:
            return WishedWood(known[0], _water_of(known, known[0].name)[1])
        name = known[0].name
    own, water_from = (*_weighed(result), *own_woods(result.study)), "asked"
    name, taken = _name_of(name, own), _taken(name, own)
    if water is None:
        water, water_from = _water_of(known, name) if known else (None, "assumed")
    return WishedWood(wood_of_species(name, moisture_pct=water, own=own), water_from, taken)


def _taken(name, own):
    """That a loose name of a wish is taken for one wood, as it is told of a row."""
    if not taken_as(name) or KIND.search(name.lower()):
        return ()
    row = find_species(name, own)
    return () if row.region == "own" else (taken_name(name, row),)


def wood_name(result: Any, name: str) -> str:
    """The one name of a wood that is written, as `wished_wood` reads it.

    Raises
    ------
    UnusableInput
        If the wood is not known.
    """
    return _name_of(name, (*_weighed(result), *own_woods(result.study)))


def _name_of(name, own):
    """The one name of a wood; a wood that is written with its kind must be one of `own`."""
    if (kind := KIND.search(name.lower())) is not None:
        bare = bare_name(name, kind[0])
        if bare.casefold() not in {wood.name.casefold() for wood in own}:
            what = f'no row of the log has "{name}", so its weight is not known'
            raise UnusableInput(what, WISH, f"name a wood of your log, or {_OWN}")
        name = bare
    try:
        return find_species(name, own).said
    except UnusableInput as fault:
        offer, _, way_out = fault.mend.partition("weigh it:")
        mend = f"{offer}{_OWN}" if way_out else fault.mend
        raise UnusableInput(fault.what, WISH, mend) from None


def _weighed(result):
    """Woods that rows of the log spell with their kind, by their mean density as weighed."""
    spelt = {row.line for row in result.log.rows if KIND.search(row.species.lower())}
    named: dict[str, list[Wood]] = {}
    for one in result.pieces:
        if one.row in spelt and one.wood:
            named.setdefault(one.wood.name, []).append(one.wood)
    return tuple(
        measured_wood(
            name,
            woods[0].kind,
            float(np.mean([wood.density_kg_m3 for wood in woods])),
            float(np.mean([wood.moisture_pct for wood in woods])),
        )
        for name, woods in named.items()
    )


def _water_of(known, name):
    """Water, per cent, of the pieces of a wood, else of all; and the word for where it is from."""
    own = [wood for wood in known if wood.name.casefold() == name.casefold()]
    noted = [wood for wood in own or known if not _assumed(wood)]
    if not noted:
        return (own or known)[0].moisture_pct, "assumed"
    waters = [wood.moisture_pct for wood in noted]
    if len({water >= GREEN_PCT for water in waters}) > 1:
        of = f" of {name}" if own else ""
        what = f"its water is not written, and your pieces{of} were chopped both green and dry"
        mend = f'write green, air-dry or a percent before the wood: "green {name}" or "14 % {name}"'
        raise UnusableInput(what, WISH, mend)
    mean = "_mean" if len(set(waters)) > 1 else ""
    return float(np.mean(waters)), f"{'own' if own else 'other'}_pieces{mean}"


def _assumed(wood):
    """Whether nobody noted the water of a piece."""
    return any(one.code == "moisture_assumed" for one in wood.doubts)
