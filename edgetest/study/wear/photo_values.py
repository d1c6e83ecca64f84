"""What does a photograph give as a reading: a bright line's width, or a crest's W30?"""

from math import nan

WIDTH = "edge_width_um"
AREA = "worn_area_um2"
W30 = "w30_um"
PHOTOGRAPHED = (WIDTH, AREA, W30)  # readings that photographs give


def reading_of_photo(study, row):
    """The reading that the photograph of a row gives, by the light of its set-up.

    Parameters
    ----------
    study : Study or None
    row : LogRow

    Returns
    -------
    str
    """
    rule = None
    if study is not None:
        rule = study.scales.get(row.scale) if row.scale else study.scale
    return W30 if rule is not None and rule.between_lamps else WIDTH


def gives(photo, reading):
    """Whether a photograph is of the kind that gives a reading: by its light, measured or not.

    Parameters
    ----------
    photo : PhotoResult
    reading : str
        One of `PHOTOGRAPHED`: a bright line needs light that shows one, W30 two lamps.
    """
    return photo.between_lamps == (reading == W30)


def value_of_photo(reading, numbers):
    """Value, bounds and relative uncertainty of one photograph, nan where there is none.

    Parameters
    ----------
    reading : str
    numbers : dict
        Of a measured `PhotoResult` that gives the reading.

    Returns
    -------
    (float, float, float, float)
        Value, lower and upper bound, relative standard uncertainty without what the pictures of
        one set-up share.
    """
    if reading == W30:
        return _crest(numbers["w30_um"], numbers["crest"])
    width = numbers["width_um"]
    if width is None:
        return nan, nan, numbers["below_um"], nan
    return width["mean"], nan, nan, (numbers["width_u_um"] or 0.0) / width["mean"]


def _crest(w30, crest):
    """W30 as a value, or as the bounds that are known of it."""
    if w30["value"] is not None:
        return w30["value"], nan, nan, crest["own_u"]
    high = nan if w30["high"] is None else w30["high"]
    return nan, w30["low"] or nan, high, nan


def number_of_photo(reading, numbers):
    """The value of a photograph alone, to stand beside a typed one; None where it has none."""
    if numbers is None:
        return None
    found = numbers["w30_um"] if reading == W30 else numbers["width_um"]
    return found and found["value" if reading == W30 else "mean"]
