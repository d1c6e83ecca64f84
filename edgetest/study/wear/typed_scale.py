"""How far may the scale be off that widths were typed by, and do the lives hold it?"""

from edgetest.doubts import doubt
from edgetest.study.wear.photo_values import PHOTOGRAPHED


def typed_scale_of(study, reading):
    """The scale's relative standard uncertainty as the study says it; 0 where nobody did.

    Parameters
    ----------
    study : Study or None
    reading : str
        Only what photographs give too is read by a scale of lengths.

    Returns
    -------
    float
    """
    if study is None or reading not in PHOTOGRAPHED:
        return 0.0
    return study.typed_scale_u or 0.0


def typed_scale_doubts(found, limit):
    """Whether the lives to a limit hold the error of the scale that their widths were typed by.

    Parameters
    ----------
    found : StudyReadings
    limit : float or None
        In the reading's unit; a multiple of the fresh reading (None here) is free of every scale.

    Returns
    -------
    tuple of Doubt
    """
    typed = any(each.source == "log" for each in found.used)
    if limit is None or not typed or found.reading not in PHOTOGRAPHED:
        return ()
    if not found.typed_scale_u:
        return (doubt("typed_scale_not_noted"),)
    return (doubt("typed_scale", share=f"{100 * found.typed_scale_u:.2g} %"),)
