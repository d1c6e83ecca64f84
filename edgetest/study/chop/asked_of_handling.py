"""What in `[handling]` can hardly be meant as it is written, though it can be read?"""

from collections.abc import Iterator

from edgetest.doubts import Doubt, Where, doubt
from edgetest.errors import UnusableInput
from edgetest.store.plausible import LEAST_BALANCE, USUAL, USUAL_CHOPPER, USUAL_TOOL_G
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.chop.handling import Handling, handling_of
from edgetest.study.chop.swings_told import beyond_bound, counted_unlike, lengths_of
from edgetest.study.words import listed
from edgetest.units import as_typed

OF_PLACES = {
    "mass_g": "The weight",
    "balance_mm": "The balance point",
    "strike_mm": "The strike point",
}
SIZES = {
    "edge_length_mm": "The edge length",
    "length_mm": "The length",
    "width_mm": "The width",
}
MASSES_APART = 0.02  # of one tool, by share: a scale and ounces round to less (own choice)


def asked_of_handling(study: Study) -> Iterator[UnusableInput]:
    """Questions about weight, balance and swing of every tool; none where they cannot be read.

    Parameters
    ----------
    study : Study

    Yields
    ------
    UnusableInput
        Told, not raised: a study with questions is answered as it stands.
    """
    try:
        tools = handling_of(study)
    except UnusableInput:
        return  # `check` tells these faults themselves
    blades = {blade.id: blade for blade in study.blades}
    lengths = lengths_of(study, tools, {})
    for name, tool in tools.items():
        where = f"{STUDY_FILE}, handling.{name}"
        yield from _mass(tool, f"{where}, mass_g")
        yield from _balance(tool, f"{where}, balance_mm")
        yield from _two_masses(tool, blades[name].mass_g, f"{where}, mass_g")
        yield from _strike(tool, blades[name].length_mm, f"{where}, strike_mm")
        yield from _timings(tool, f"{where}, seconds")
        yield from _swing(tool, lengths.get(name), f"{where}, swings")


def asked_of_choppers(study: Study) -> Iterator[UnusableInput]:
    """Questions about sizes of a blade that no chopper has; centimetres typed for mm, as a rule.

    What no blade has at all is asked about with the other facts.
    """
    for k, blade in enumerate(study.blades, 1):
        for key, (low, high) in USUAL_CHOPPER.items():
            size = getattr(blade, key)
            least, most = USUAL[key]
            if size is None or low <= size <= high or not least <= size <= most:
                continue
            mend, where = (
                "check the number and its unit (mm)",
                f"{STUDY_FILE}, blades {k} ({blade.id})",
            )
            if size < low <= 10 * size <= high:
                mend += f"; if it was cm, write {10 * size:g}"
            yield UnusableInput(
                f"{_place(size)} is unusual for a chopper: {low:g} to {high:g} mm is what is met",
                f"{where}, {key}", f"{mend}; if it is right, leave it",
            )  # fmt: skip


def chopper_doubts(study: Study) -> Iterator[Doubt]:
    """A doubt for each size of a blade that is asked about: damage is told by its edge."""
    for asked in asked_of_choppers(study):
        place, key = (asked.where or "").rsplit(", ", 1)
        tool = place.partition("(")[2].removesuffix(")")
        what = f"{SIZES[key]} of {tool}: {asked.what}"
        yield doubt("blade_size_asked", what=what, where=Where(STUDY_FILE, blade=tool))


def handling_doubts(study: Study) -> Iterator[Doubt]:
    """A doubt for each weight and place that is asked about; a swing has doubts of its own."""
    for asked in asked_of_handling(study):
        tool, key = (asked.where or "").removeprefix(f"{STUDY_FILE}, handling.").rsplit(", ", 1)
        if key in OF_PLACES:
            what = f"{OF_PLACES[key]} of {tool}: {asked.what}"
            yield doubt("handling_asked", what=what, where=Where(STUDY_FILE, blade=tool))


# How far weight and places may be off where nobody typed it, by the words for them.
ASSUMED = {
    "mass_u_g": "mass",
    "balance_u_mm": "balance point",
    "pivot_u_mm": "pivot",
    "grip_u_mm": "grip",
    "strike_u_mm": "strike point",
}


def assumed_doubts(study: Study) -> Iterator[Doubt]:
    """Of each tool that was swung: for what nobody typed a ±, and what is taken in its place."""
    for name, tool in handling_of(study).items():
        if tool.swing_test() is None:
            continue
        by_size: dict[str, list[str]] = {}
        for key, words in ASSUMED.items():
            if key not in tool.model_fields_set:
                size = f"{getattr(tool, key):g} {key.rpartition('_')[2]}"
                by_size.setdefault(size, []).append(words)
        if by_size:
            told = "; ".join(f"{size} for {listed(words)}" for size, words in by_size.items())
            yield doubt("places_assumed", tool=name, told=told, where=Where(STUDY_FILE, blade=name))


def _mass(tool: Handling, where: str) -> Iterator[UnusableInput]:
    """A mass that no chopper has; of kilograms typed for grams, the grams."""
    mass, (low, high) = tool.mass_g, USUAL_TOOL_G
    if mass is None or low <= mass <= high:
        return
    mend = "check the number and its unit (g)"
    if mass < low <= 1000 * mass <= high:
        mend += f"; if it was kg, write {1000 * mass:g}"
    yield UnusableInput(
        f"{mass:g} g is unusual: {low:g} to {high:g} g is what is met", where,
        f"{mend}; if it is right, leave it",
    )  # fmt: skip


def _two_masses(tool: Handling, other: float | None, where: str) -> Iterator[UnusableInput]:
    """A mass that stands otherwise with the blade, by more than rounding."""
    if tool.mass_g and other and abs(tool.mass_g / other - 1) > MASSES_APART:
        what = f"{tool.mass_g:g} g here, but {other:g} g under [[blades]]"
        yield UnusableInput(what, where, "weigh it again and write one mass in both places")


def _strike(tool: Handling, typed_mm: float | None, where: str) -> Iterator[UnusableInput]:
    """A strike point beyond the end of the tool."""
    length, of = (tool.length_mm, "") if tool.length_mm else (typed_mm, " under [[blades]]")
    if length is None or tool.strike_mm <= length:
        return
    what = f"{_place(tool.strike_mm)} lies beyond the tool, which is {_place(length)} long{of}"
    mend = "measure both from the butt"
    mend += f"; if that is the blade alone, write the tool's length_mm in {where.split(', ')[1]}"
    yield UnusableInput(what, where, mend if of else f"{mend}, to the tip")


def _place(number: float) -> str:
    return str(as_typed(number, "mm"))


def _swing(tool: Handling, length_mm: float | None, where: str) -> Iterator[UnusableInput]:
    """A swing slower than that of any tool of this weight, balance point and length."""
    for one in beyond_bound(tool, length_mm):
        what, _, mend = one.text.rstrip(".").rpartition(": ")
        yield UnusableInput(f"{what[:1].lower()}{what[1:]}", where, mend)


def _timings(tool: Handling, where: str) -> Iterator[UnusableInput]:
    """Timings of which some have another number of swings than the others."""
    for one in counted_unlike(tool):
        what, _, mend = one.text.rstrip(".").rpartition(". ")
        yield UnusableInput(f"{what[:1].lower()}{what[1:]}", where, f"{mend[:1].lower()}{mend[1:]}")


def _balance(tool: Handling, where: str) -> Iterator[UnusableInput]:
    """A balance point outside the tool, or in its first tenth."""
    place, least = tool.balance_mm, LEAST_BALANCE * (tool.length_mm or tool.strike_mm)
    if place is None:
        return
    mend = "measure it from the butt, in mm; if it is right, leave it"
    if tool.length_mm is not None and place >= tool.length_mm:
        what = f"{place:g} mm lies outside the tool, which is {tool.length_mm:g} mm long"
        yield UnusableInput(what, where, mend)
    elif tool.length_mm is None and place >= tool.strike_mm:
        what = f"{place:g} mm lies beyond the strike point, {tool.strike_mm:g} mm"
        yield UnusableInput(what, where, mend)
    elif place < least:
        what = f"{place:g} mm is unusual: the first tenth of a tool holds no balance point"
        yield UnusableInput(what, where, mend)
