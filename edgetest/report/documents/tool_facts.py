"""What a chopped tool is and how it was tested, in rows for the first page of its sheet."""

from edgetest.report.documents.chopped_wood import wood_weaknesses
from edgetest.report.documents.chopper_numbers import typed_sizes
from edgetest.report.documents.tools_beside import beside
from edgetest.report.documents.what_was_tested import blade_hardness_words, known_angle_words
from edgetest.report.letters import breakable
from edgetest.report.wording import NOT_NOTED, typed_in_units
from edgetest.study.words import listed

NO_HARDNESS = "hardness not measured"


def tool_rows(result, tested, units):
    """What the tool is and how it was tested, a line or two each.

    Parameters
    ----------
    result : ChopResult
    tested : Blade
    units : {"metric", "inch", "both"}

    Returns
    -------
    list of (str, str)
    """
    study = result.study
    treatment = study.heat_treatment(tested.heat_treatment) if tested.heat_treatment else None
    heat = treatment.words() if treatment else ""
    steel = [tested.steel, heat or (f"heat treatment {NOT_NOTED}" if tested.steel else "")]
    edge = [
        tested.angle_with_u_words() or f"angle {NOT_NOTED}",
        tested.edge_finish or f"finish {NOT_NOTED}",
        _hardness(tested),
    ]
    first = [
        ("Steel and heat", "; ".join(breakable(part) for part in steel if part) or NOT_NOTED),
        ("Edge", "; ".join(part for part in edge if part)),
    ]
    last = [
        ("Test", study.notes or f"planned by the protocol “{result.protocol.title}”"),
        ("About the wood", wood_weaknesses(result, tested.id)),
    ]
    first, last = (
        [(term, typed_in_units(words, units)) for term, words in rows] for rows in (first, last)
    )
    own = _joined(typed_in_units(tested.note, units), typed_sizes(result, tested, units))
    return [*first, ("Of this tool", own), *_of_others(result, tested, units), *last]


def _of_others(result, tested, units):
    """Angle, weight, balance and note of each tool beside it, and what of it nobody noted."""
    for name in beside(result, tested.id)[1:]:
        blade = result.study.blade(name)
        held, angle = result.handling.get(name), typed_in_units(known_angle_words(blade), units)
        weighed = blade.mass_g or getattr(held, "mass_g", None) or result.tool(name)
        facts = {"angle": angle, "steel": blade.steel, "weight": weighed}
        unknown = [term for term, fact in facts.items() if not fact]
        said = [angle, typed_sizes(result, blade, units, swung_alone=True)]
        said.append(f"{listed(unknown)} {NOT_NOTED}" if unknown else "")
        note = typed_in_units(blade.note, units)
        yield f"Of {name} beside it", _joined(note, ", ".join(filter(None, said)))


def _joined(note, facts):
    """What the maker noted, then facts, with one stop between them."""
    if not (note and facts):
        return note or facts
    if note.rstrip().endswith((".", "!", "?", "…")):
        return f"{note.rstrip()} {facts[:1].upper()}{facts[1:]}"
    return f"{note}; {facts}"


def _hardness(tested):
    """Its hardness, by whatever it was got."""
    words = blade_hardness_words(tested)
    if tested.hardness_hrc:
        return f"{words} HRC measured"
    return f"hardness {words.removesuffix(' (files)')} HRC by files" if words else NO_HARDNESS
