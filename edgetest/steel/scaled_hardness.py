"""In which scale is a hardness written, and what is it in Rockwell C?"""

import re

from edgetest.steel.conversion import SOFTEST_HRC, table_ends, to_hrc
from edgetest.units import Unreadable, normal, parse_number

# Before the number "HV", or "HV10" with a blank; behind it also "HBW 10/3000", ball and load.
_SCALED = re.compile(
    r"(?P<before>HRC|HV(?:\d+(?= ))?|HBW?)\s*(?P<one>[<>\d.,].*)"
    r"|(?P<other>.+?)\s*(?P<behind>HRC|HV\d*|HBW?(?:\s+\d+(?:[.,]\d+)?/\d+)?)",
    re.IGNORECASE,
)


def own_scale(written):
    """The scale that a hardness names itself, None where it names none, and the rest of it.

    "700 HV", "HV700", "HV 700" and "700 HV10" are ("HV", "700"); 61 is (None, "61").
    """
    text = normal(str(written))
    met = _SCALED.fullmatch(text)
    if met is None:
        return None, text
    name = (met["before"] or met["behind"]).upper()
    return "HRC" if name == "HRC" else name[:2], met["one"] or met["other"]


def in_hrc(written, scale):
    """Rockwell C of one number of another scale.

    Parameters
    ----------
    written : str or float
    scale : {"HV", "HB"}

    Returns
    -------
    float

    Raises
    ------
    Unreadable
        Outside the table that turns one into the other, and of a bracket.
    """
    try:
        number = parse_number(str(written))
    except Unreadable:
        mend = f"write one number in {scale}; brackets of files are rated in HRC"
        raise Unreadable(f'"{written} {scale}" is not one number', mend) from None
    least, most = table_ends(scale)
    said = f"{number:g} {scale} lies"
    table = f"the table that turns {scale} into HRC ({least:g} to {most:g} {scale})"
    if number < least:
        meant = f"; if it was Rockwell C, write {number:g} HRC" if number >= SOFTEST_HRC else ""
        mend = f'write "<{SOFTEST_HRC:g}", for it is softer than {SOFTEST_HRC:g} HRC{meant}'
        raise Unreadable(f"{said} below {table}", mend)
    if number > most:
        hardest = int(to_hrc(most, scale))
        raise Unreadable(f"{said} above {table}", f'write ">{hardest}", HRC, if you trust it')
    return to_hrc(number, scale)
