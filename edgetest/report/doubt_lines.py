"""Doubts in sentences, as every document tells them."""

from edgetest.doubts import joined


def doubt_lines(*doubts, said=()):
    """Each doubt's sentence once, those that decide the answer first.

    Parameters
    ----------
    *doubts : iterable of Doubt
        Those of one result or of several.
    said : container of str
        Codes of doubts that the document tells elsewhere.

    Returns
    -------
    list of str
    """
    told = (one.text for one in joined(*doubts) if one.code not in said)
    return list(dict.fromkeys(told))
