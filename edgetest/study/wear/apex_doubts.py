"""What widths from photographs leave open about the apex: its light, and its form."""

from statistics import median

from edgetest.doubts import doubt
from edgetest.photo.apex.apex_light import Lighting, height_lost_ratio

USUAL_ANGLE_DEG = 30.0  # included, where no blade's is noted: the protocols' own


def apex_doubts(study, readings, photos):
    """Doubts about the light and the form of the edges that photographs gave a width of.

    Parameters
    ----------
    study : Study or None
    readings : sequence of UsedReading
        Edge widths.
    photos : sequence of PhotoResult

    Returns
    -------
    list of Doubt
        None where no photograph's width counts.
    """
    names = {one.photo for one in readings if one.source == "photograph" and not one.excluded}
    lights = {
        Lighting(**photo.numbers["light"])
        for photo in photos
        if photo.measured and photo.photo in names
    }
    if not lights:
        return []
    told = [doubt("light_not_noted")] if any(not one.direction for one in lights) else []
    if len(lights) > 1:
        words = sorted(one.words() for one in lights)
        told.append(doubt("lights_differ", lights="; ".join(words)))
    angle = _angle_deg(study)
    times = f"{height_lost_ratio(angle):.1f}"
    return [*told, doubt("apexes_alike", times=times, angle=f"{angle:g}")]


def _angle_deg(study):
    """The middle included angle of the blades; the usual one where none is noted."""
    blades = study.blades if study is not None else ()
    noted = [blade.included_angle_deg for blade in blades if blade.included_angle_deg is not None]
    return median(noted) if noted else USUAL_ANGLE_DEG
