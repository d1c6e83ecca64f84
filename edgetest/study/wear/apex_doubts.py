"""What widths from photographs leave open about the apex: its light, and its form."""

from collections import Counter, defaultdict
from statistics import median

from edgetest.doubts import doubt
from edgetest.photo.apex.apex_light import Lighting, height_lost_ratio
from edgetest.study.wear.photo_values import W30
from edgetest.study.words import listed

USUAL_ANGLE_DEG = 30.0  # included, where no blade's is noted: the protocols' own


def apex_doubts(study, reading, readings, photos):
    """Doubts about the light and the form of the edges whose photographs gave a reading.

    Parameters
    ----------
    study : Study or None
    reading : str
    readings : sequence of UsedReading
    photos : sequence of PhotoResult
        Those that give the reading.

    Returns
    -------
    list of Doubt
        None where no photograph counts.
    """
    shown = {photo.photo: photo.numbers for photo in photos if photo.measured}
    counted = [
        one
        for one in readings
        if one.source == "photograph" and not one.excluded and one.photo in shown
    ]
    if not counted:
        return []
    lights: dict[str, Counter] = defaultdict(Counter)
    for one in counted:
        lights[one.heat_treatment][Lighting(**shown[one.photo]["light"])] += 1
    return [*_lights(lights), _forms(study, reading, counted, shown)]


def _lights(lights):
    """Whether the light is noted, and one for all: lights by heat treatment, counted."""
    all_of_them = set().union(*lights.values())
    told = [doubt("light_not_noted")] if any(not one.direction for one in all_of_them) else []
    if len(all_of_them) < 2:
        return told
    words = "; ".join(sorted(one.words() for one in all_of_them))
    usual = {name: count.most_common(1)[0][0].words() for name, count in lights.items()}
    if len(set(usual.values())) > 1:
        groups = "; ".join(f"{name or 'without a name'}: {light}" for name, light in usual.items())
        return [*told, doubt("lights_between_groups", groups=groups)]
    return [*told, doubt("lights_differ", lights=words)]


def _forms(study, reading, counted, shown):
    """Whether the apexes are alike in form; of W30 with on-axis pictures beside, how far."""
    angle = _angle_deg(study)
    times, angle_deg = f"{height_lost_ratio(angle):.1f}", f"{angle:g}"
    if reading != W30:
        return doubt("apexes_alike", times=times, angle=angle_deg)
    corners: dict[str, list[float]] = defaultdict(list)
    for one in counted:
        crest, w30 = shown[one.photo]["crest"], shown[one.photo]["w30_um"]
        part = corners[one.heat_treatment]
        if crest["corner_um"] is not None and w30["value"]:
            part.append(crest["corner_um"]["value"] / w30["value"])
    if not all(corners.values()):
        return doubt("crests_alike", times=times, angle=angle_deg)
    said = [f"{100 * median(part):.0f} % of W30 of {name}" for name, part in corners.items()]
    known = f"{sum(map(len, corners.values()))} of {len(counted)} photographs"
    return doubt("crests_known", corners=listed(said), known=known, times=times, angle=angle_deg)


def _angle_deg(study):
    """The middle included angle of the blades; the usual one where none is noted."""
    blades = study.blades if study is not None else ()
    noted = [blade.included_angle_deg for blade in blades if blade.included_angle_deg is not None]
    return median(noted) if noted else USUAL_ANGLE_DEG
