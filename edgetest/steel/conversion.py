"""Rockwell C from Vickers and Brinell by the table of ASTM E140, and only inside it."""

import numpy as np

from edgetest.errors import UnusableInput

# ASTM E140, Table 1 (non-austenitic steels): HRC, HV, HBW (10 mm carbide ball, 3000 kgf).
# The standard prints Brinell above 634 in parentheses, beyond normal use: left out here.
SOFTEST_HRC = 20.0  # where the scale ends
_HRC = np.arange(SOFTEST_HRC, 69.0)
# fmt: off
_HV = np.array([
    238, 243, 248, 254, 260, 266, 272, 279, 286, 294,
    302, 310, 318, 327, 336, 345, 354, 363, 372, 382,
    392, 402, 412, 423, 434, 446, 458, 471, 484, 498,
    513, 528, 544, 560, 577, 595, 613, 633, 653, 674,
    697, 720, 746, 772, 800, 832, 865, 900, 940,
], dtype=float)
_HB = np.array([
    226, 231, 237, 243, 247, 253, 258, 264, 271, 279,
    286, 294, 301, 311, 319, 327, 336, 344, 353, 362,
    371, 381, 390, 400, 409, 421, 432, 443, 455, 469,
    481, 496, 512, 525, 543, 560, 577, 595, 615, 634,
], dtype=float)
# fmt: on
_TABLES = {"HV": (_HRC, _HV), "HB": (_HRC[: _HB.size], _HB)}

# The standard rounds converted Rockwell numbers to whole points and calls them approximate.
CONVERSION_SD_HRC = 1.0


def _column(scale):
    """Rockwell and the other scale, side by side."""
    if scale not in _TABLES:
        raise UnusableInput(f"{scale!r} is not a known scale", "scale", "use HRC, HV or HB")
    return _TABLES[scale]


def table_ends(scale):
    """The least and the greatest number of a scale that the table turns into Rockwell C."""
    _, other = _column(scale)
    return float(other[0]), float(other[-1])


def _interpolate(value, x, y, name):
    """Linear between table points; a value beyond the table is an error, never extrapolated."""
    value = np.asarray(value, dtype=float)
    outside = ~((value >= x[0]) & (value <= x[-1]))
    if outside.any():
        what = f"{float(value[outside].flat[0]):g} {name} lies outside the conversion table"
        mend = f"the table runs from {x[0]:g} to {x[-1]:g} {name}; give the hardness as measured"
        raise UnusableInput(what, f"hardness in {name}", mend)
    result = np.interp(value, x, y)
    return float(result) if result.ndim == 0 else result


def to_hrc(hardness, scale):
    """Rockwell C from Vickers or Brinell; `scale="HRC"` returns the value unchanged.

    Parameters
    ----------
    hardness : float or array_like
        The reading: 238 to 940 HV, 226 to 634 HB.
    scale : {"HRC", "HV", "HB"}
        The scale of the reading.

    Returns
    -------
    float or ndarray
        Rockwell C; its conversion adds a standard uncertainty of about `CONVERSION_SD_HRC`.

    Raises
    ------
    UnusableInput
        If the scale is unknown or a value lies outside the table.

    References
    ----------
    .. [1] ASTM E140, Table 1, non-austenitic steels (read in reproductions of the table).
    """
    if scale == "HRC":
        result = np.asarray(hardness, dtype=float)
        return float(result) if result.ndim == 0 else result
    hrc, other = _column(scale)
    return _interpolate(hardness, other, hrc, scale)


def vickers_of(hrc):
    """Vickers of a Rockwell C hardness, by the same table; beyond it the end of the table."""
    return np.interp(hrc, _HRC, _HV)


def hrc_of_mixture(vickers):
    """Rockwell C of a Vickers hardness that was mixed from parts; beyond the table its end."""
    return np.interp(vickers, _HV, _HRC)
