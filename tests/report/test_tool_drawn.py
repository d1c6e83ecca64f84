"""A picture is called drawn to scale where its whole outline was given, and only then."""

from edgetest.chop.tool_outline import Part, outline
from edgetest.report.tool_drawn import drawn_to_scale


def shape(*parts):
    return outline([296, 360], [40, 75], [296, 360], [25, 8], parts=parts)


def test_a_handle_beyond_the_steel_is_not_drawn_to_scale():
    told = drawn_to_scale(shape(Part("ash handle", 190, 0, 330)))
    assert told == (
        "The steel is drawn to scale; how wide it is beyond that (ash handle) was not typed."
    )


def test_scales_on_the_steel_are_drawn_to_scale():
    assert drawn_to_scale(shape(Part("scales", 90, 295, 340))) == "Drawn to scale."


def test_without_an_outline_nothing_is_drawn_to_scale():
    assert drawn_to_scale(None).startswith("Not to scale")
