"""What a chopped tool is and how it was tested, in rows for the first page of its sheet."""

from edgetest.report.documents.chopped_wood import wood_weaknesses
from edgetest.report.documents.chopper_numbers import typed_sizes
from edgetest.report.documents.tools_beside import beside
from edgetest.report.documents.what_was_tested import blade_hardness_words
from edgetest.report.letters import breakable
from edgetest.report.wording import NOT_NOTED, typed_in_units

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
    rows = [
        ("Steel and heat", "; ".join(breakable(part) for part in steel if part) or NOT_NOTED),
        ("Edge", "; ".join(part for part in edge if part)),
        ("Of this tool", tested.note),
        ("Test", study.notes or f"planned by the protocol “{result.protocol.title}”"),
        ("About the wood", wood_weaknesses(result, tested.id)),
    ]
    told = {term: typed_in_units(words, units) for term, words in rows}
    own = (told["Of this tool"], typed_sizes(result, tested, units))
    told["Of this tool"] = "; ".join(filter(None, own))
    return [(term, words) for term, words in told.items()] + _of_others(result, tested, units)


def _of_others(result, tested, units):
    """Weight and balance of the tools beside it whose handling was typed: a row, or none."""
    others = [
        name for name in beside(result, tested.id)[1:]
        if name in result.handling and result.tool(name) is None
    ]  # fmt: skip
    said = [(name, typed_sizes(result, result.study.blade(name), units)) for name in others]
    words = "; ".join(f"{name}: {sizes}" for name, sizes in said if sizes)
    return [("Beside it", words)] if words else []


def _hardness(tested):
    """Its hardness, by whatever it was got."""
    words = blade_hardness_words(tested)
    if tested.hardness_hrc:
        return f"{words} HRC measured"
    return f"hardness {words.removesuffix(' (files)')} HRC by files" if words else NO_HARDNESS
