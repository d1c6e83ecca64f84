"""How large is the cross-section of a billet, measured or by its trade size?"""

import re
from math import pi

from edgetest.errors import UnusableInput

# Minimum dressed sizes of softwood lumber, PS 20, inches: nominal -> (dry, green). Read in a copy
# of the standard's table (engineeringtoolbox.com, softwood lumber); the standard was not seen.
DRESSED_IN = {
    1: (0.75, 0.78125),
    2: (1.5, 1.5625),
    3: (2.5, 2.5625),
    4: (3.5, 3.5625),
    5: (4.5, 4.625),
    6: (5.5, 5.625),
    8: (7.25, 7.5),
    10: (9.25, 9.5),
    12: (11.25, 11.5),
}


def lumber_mm(nominal, *, condition="dry"):
    """Real size of nominal lumber: '2x4' is 38.1 by 88.9 mm, dressed and dry.

    Parameters
    ----------
    nominal : str
        Nominal inches, 'thickness x width'.
    condition : str
        "dry" or "green" when it was dressed.

    Returns
    -------
    tuple of float
        Thickness and width, mm.

    Raises
    ------
    UnusableInput
        If the size is not one of softwood lumber's.
    """
    match = re.fullmatch(r"\s*(\d+)\s*[x×]\s*(\d+)\s*", nominal.lower())
    sizes = [int(part) for part in match.groups()] if match else []
    if not sizes or any(size not in DRESSED_IN for size in sizes):
        what = f'"{nominal}" is no nominal lumber size'
        raise UnusableInput(what, "lumber", "write it as 2x4, or measure width and thickness in mm")
    if condition not in ("dry", "green"):
        raise UnusableInput(f'"{condition}"', "condition", "write dry or green")
    column = 0 if condition == "dry" else 1
    thickness, width = (25.4 * DRESSED_IN[size][column] for size in sizes)
    return thickness, width


def cross_section_cm2(*, width_mm=None, thickness_mm=None, diameter_mm=None):
    """Cross-section of a billet in cm², from width and thickness or from its diameter.

    Raises
    ------
    UnusableInput
        If neither pair is given, both are, or a size is not above zero.
    """
    rectangle = width_mm is not None and thickness_mm is not None
    if rectangle == (diameter_mm is not None):
        mend = "give width and thickness, or the diameter"
        raise UnusableInput("no single cross-section follows", "billet", mend)
    sizes = (width_mm, thickness_mm) if rectangle else (diameter_mm,)
    if not all(size is not None and size > 0 for size in sizes):
        raise UnusableInput(f"size {sizes}", "billet", "give sizes above zero, in mm")
    if rectangle:
        return width_mm * thickness_mm / 100
    return pi * diameter_mm**2 / 400
