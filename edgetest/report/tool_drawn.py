"""What of a tool's picture is drawn to scale?"""

from edgetest.study.words import listed

OVERHANG_MM = 2.0  # a part that ends so little beyond the steel ends with it


def drawn_to_scale(shape):
    """That the tool is drawn to scale, or its steel alone where a part reaches beyond that.

    Parameters
    ----------
    shape : Outline or None
        None where nothing is known: a plain bar is drawn.
    """
    if shape is None:
        return "Not to scale: a plain bar stands for the tool."
    first, last = float(shape.x_mm[0]) - OVERHANG_MM, float(shape.x_mm[-1]) + OVERHANG_MM
    beyond = [one.name for one in shape.parts if one.from_mm < first or one.to_mm > last]
    if not beyond:
        return "Drawn to scale."
    return (
        f"The steel is drawn to scale; how wide it is beyond that ({listed(beyond)}) was not typed."
    )
