"""What in the rows of chopped pieces can be read, but hardly be meant as it is written?"""

import re
from collections.abc import Iterator, Sequence

from edgetest.chop.billet_size import lumber_mm
from edgetest.chop.chop_report import TRIALS
from edgetest.chop.species import SPECIES, Species, find_species
from edgetest.chop.wood import HEAVIEST_KG_M3, LIGHTEST_KG_M3, water_of, wood_state
from edgetest.chop.wood_relations import FIBRE_SATURATION_PCT, density_kg_m3
from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.cells import GIVEN_UP
from edgetest.store.chop_log import ChopRow, struck_pieces
from edgetest.store.records import Study
from edgetest.store.table_faults import cell_fault
from edgetest.study.chop.piece_woods import own_woods, section_of, weighed_density_kg_m3
from edgetest.units import as_typed

# A weighed density is asked about beyond these shares of the wood's own. Boards of one wood
# differ by 10 % (standard deviation; Wood Handbook, from memory): beyond three of these.
DENSITY_SHARES = (0.7, 1.4)
# Rough sawn lumber is up to a third larger than dressed (51 mm for 38; PS 20); own choice.
SIZE_SHARE = 0.4
WETTEST_WEIGHED_PCT = 30.0  # beyond, water and not wood decides what a piece weighs
# What makers note of a piece that parted along the grain, no mere chunk of it ("split off"), and
# not of the tool, its handle or the clamp.
_SPLIT = re.compile(
    r"(?<!not )(?<!n't )(?<!n’t )(?<!no )(?<!never )(?<!without )(?<!nothing )(?<!any )"
    r"(?<!handle )(?<!haft )(?<!helve )(?<!shaft )(?<!grip )(?<!wedge )(?<!scales )(?<!clamp )"
    r"\bsplit(?:s|ting)?\b"
    r"(?= *(?:$|[;,.(]|along|length|in two|in half|down|open|apart|with the grain|before|instead))",
    re.IGNORECASE,
)


def asked_of_pieces(
    name: str, rows: Sequence[ChopRow], study: Study | None = None
) -> Iterator[UnusableInput]:
    """Questions about chopped pieces: given up, weighed amiss, two sizes, which way up, wet.

    Parameters
    ----------
    name : str
        What the log is called.
    rows : sequence of ChopRow
    study : Study, optional
        Its `[[woods]]` are known beside the table's.

    Yields
    ------
    UnusableInput
        Told, not raised.
    """
    own = own_woods(study)
    pieces = struck_pieces(rows)
    for row in pieces:
        yield from _not_severed(name, row)
        yield from _density(name, row, own)
        yield from _two_sizes(name, row)
        yield from _no_length(name, row)
    yield from _which_way_up(name, pieces)
    yield from _wet(name, pieces)
    for row in unnoted_trials(rows):
        what = f"the {row.kind} of {row.blade} was tried, and whether it passed is not noted"
        yield cell_fault(name, row.line, "result", what, "write pass or fail")


def unnoted_trials(rows: Sequence[ChopRow]) -> list[ChopRow]:
    """Trials that count and tell something of what came of them, but not whether they passed."""
    return [
        row
        for row in rows
        if row.kind in TRIALS
        and not (row.result or row.exclude)
        and (not row.waiting or row.note or row.photo)
    ]


def piece_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each piece noted as given up that counts as severed, or of two sizes."""
    for row in struck_pieces(rows):
        for code, odd in (("strokes_asked", _not_severed), ("piece_size_asked", _two_sizes)):
            for asked in odd(name, row):
                what = f"{asked.where}: {asked.what}"
                yield doubt(code, what=what, where=Where(name, row.line, row.blade))


def trial_result_doubts(name: str, rows: Sequence[ChopRow]) -> Iterator[Doubt]:
    """A doubt about each trial that was made and whose end nobody noted."""
    for row in unnoted_trials(rows):
        yield doubt("trial_without_result", test=TRIALS[row.kind], blade=row.blade,
                    where=Where(name, row.line, row.blade))  # fmt: skip


def _not_severed(name: str, row: ChopRow) -> Iterator[UnusableInput]:
    """Strokes beside words that say that the piece did not fall, or that it split first."""
    told = f"{row.note}; {row.mishap}"
    said = GIVEN_UP.search(told)
    if split := _SPLIT.search(told):
        what = f'the strokes of this piece count, but it is noted "{split[0]}"'
        mend = "a piece that split before it was severed has no number of strokes to sever: give "
        mend += "it a reason in exclude and chop another; if it was severed, leave it"
        yield cell_fault(name, row.line, "chops", what, mend)
    elif said and row.chops is not None and row.chops.kind == "number":
        number = f"{row.chops.value:g}"
        what = f'{number} counts as severed, but it is noted "{said[0]}"'
        mend = f"write >{number} if the piece still stood after {number} strokes; if not, leave it"
        yield cell_fault(name, row.line, "chops", what, mend)


def _two_sizes(name: str, row: ChopRow) -> Iterator[UnusableInput]:
    """A trade size beside a diameter, or beside sides that no such piece has, dressed or rough."""
    if row.nominal and row.diameter_mm is not None:
        what = f"{row.nominal} is sawn, but a diameter of {row.diameter_mm:g} mm was measured"
        mend = "the diameter counts; blank whichever is wrong"
        yield cell_fault(name, row.line, "nominal", what, mend)
        return
    if not (row.nominal and row.width_mm and row.thickness_mm):
        return
    try:
        dressed = lumber_mm(row.nominal, condition="dry")
    except UnusableInput:
        return  # `check` tells this fault itself
    sides = sorted((row.thickness_mm, row.width_mm))
    if any(abs(side / usual - 1) > SIZE_SHARE for side, usual in zip(sides, dressed, strict=True)):
        measured = f"{sides[0]:g} mm × {sides[1]:g} mm"
        usual = f"{dressed[0]:g} mm × {dressed[1]:g} mm"
        what = f"{measured} were measured, but {row.nominal} is {usual} when dressed"
        mend = "the measured sides count; blank whichever is wrong, or leave it if both are right"
        yield cell_fault(name, row.line, "nominal", what, mend)


def _no_length(name: str, row: ChopRow) -> Iterator[UnusableInput]:
    """A weight that says nothing, because the piece has no length; the table's hardness counts."""
    if row.mass_g is None or row.length_mm is not None or row.density_kg_m3 is not None:
        return
    what = f"{as_typed(row.mass_g, 'g')} was weighed, but the piece has no length"
    mend = (
        "give its length, from which its density follows; without it the weight is not used, and "
        "the wood counts as its kind does on average"
    )
    yield cell_fault(name, row.line, "length_mm", what, mend)


def _density(name: str, row: ChopRow, own: Sequence[Species]) -> Iterator[UnusableInput]:
    """A piece much lighter or heavier than its wood is, or than any wood of its kind."""
    try:
        density = weighed_density_kg_m3(row)
        pct = water_of(row.moisture_pct).pct
        usual = _usual_densities(row.species, own)
    except UnusableInput:
        return  # `check` tells these faults themselves
    if density is None or not usual or wood_state(row.moisture_pct) == "green":
        return
    if pct > WETTEST_WEIGHED_PCT or not LIGHTEST_KG_M3 <= density <= HEAVIEST_KG_M3:
        return  # beyond the second it is refused
    low, high = DENSITY_SHARES[0] * min(usual), DENSITY_SHARES[1] * max(usual)
    if not low <= density <= high:
        column = "density_kg_m3" if row.density_kg_m3 is not None else "mass_g"
        what = f"{density:.0f} kg/m³ is unusual for {row.species}: {low:.0f} to {high:.0f} is met"
        mend = "check its weight, length and sides with their units"
        mend += "; if the wood is green, write so under moisture_pct" * (density > high)
        mend += "; if it is right, leave it"
        yield cell_fault(name, row.line, column, what, mend)


def _usual_densities(species: str, own: Sequence[Species]) -> list[float]:
    """Densities at 12 % water of the wood named, or of all woods of a kind that is named, kg/m³."""
    kind = re.search(r"\b(hardwood|softwood)\b", species.lower())
    if not species:
        return []
    known = (
        [row for row in SPECIES.values() if row.kind == kind[0]]
        if kind
        else [find_species(species, own)]
    )
    return [density_kg_m3(row.specific_gravity_12, 12.0) for row in known]


def _which_way_up(name: str, pieces: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """Pieces with a wide and a narrow side of which nobody noted which one took the blow."""
    blank = [row for row in pieces if _open(row)]
    if blank:
        also = f", nor in {len(blank) - 1} more" if len(blank) > 1 else ""
        what = f"it is not noted which side took the blow{also}"
        mend = "write flat (the wide side) or on edge; strokes differ between the two"
        yield cell_fault(name, blank[0].line, "orientation", what, mend)


def _wet(name: str, pieces: Sequence[ChopRow]) -> Iterator[UnusableInput]:
    """Wood that is called wet, which counts as green: rain makes no dry wood green."""
    wet = [row for row in pieces if row.moisture_pct == "wet"]
    if wet:
        also = f", also in {len(wet) - 1} more" if len(wet) > 1 else ""
        least = f"{FIBRE_SATURATION_PCT:g} % of water or more"
        what = f'"wet" counts as green, wood that was never dried, {least}{also}'
        mend = "write green if it is; of dry wood that rain wetted give the percent, or air-dry"
        yield cell_fault(name, wet[0].line, "moisture_pct", what, mend)


def _open(row: ChopRow) -> bool:
    try:
        return bool(section_of(row).lies == "not noted")
    except UnusableInput:
        return False
