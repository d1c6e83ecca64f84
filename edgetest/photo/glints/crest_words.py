"""How are the sizes of a crest said in words?"""

from edgetest.estimate import format_estimate
from edgetest.photo.apex.apex_light import in_um


def crest_words(sizes):
    """The sizes of a crest as a maker reads them out.

    Parameters
    ----------
    sizes : mapping
        `FacingWidth` or None by the names that `CrestSize` gives them.
    """
    said = f"round crest of radius {size_words(sizes['radius_um'])}"
    if sizes["flat_um"] is not None:
        said += f", or a flat {size_words(sizes['flat_um'])} wide"
    if sizes["land_um"] is not None:
        land, corner = size_words(sizes["land_um"]), size_words(sizes["corner_um"])
        said = f"with the on-axis picture: flat {land}, corners of {corner}"
    return f"{said}; W30 {size_words(sizes['w30_um'])}"


def size_words(size):
    """A size with its unit: a value with its interval, 'at least' or 'at most'."""
    if size.high is None:
        return f"at least {in_um(size.low)} µm"
    if size.value is None and not size.low:
        return f"at most {in_um(size.high)} µm"
    if size.value is None:
        return f"{in_um(size.low)} to {in_um(size.high)} µm"
    return f"{format_estimate(size.value, size.low, size.high)} µm"
