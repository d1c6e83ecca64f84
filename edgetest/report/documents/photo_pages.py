"""Photographs in a document: before and after of each heat treatment, or those chosen."""

from math import inf

from edgetest.photo.apex.apex_light import ApexForms, Lighting, line_words
from edgetest.report.documents.blocks import photographs, section
from edgetest.report.figures.overlay import View, draw_result
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units, interval_words
from edgetest.study.photos.lamp_numbers import lamp_words
from edgetest.study.wear.photo_values import PHOTOGRAPHED, gives

CLOSE = View(crop=True, width_px=1000, size=1.7)


def photo_sections(result, settings):
    """What the document shows of photographs.

    Parameters
    ----------
    result : Titled
    settings : Settings
        Its units, and the photographs that the maker has chosen.

    Returns
    -------
    list of section
        Those chosen; else before and after, one blade of each heat treatment.
    dict of str to bytes
        Pictures by file name.
    """
    if not result.photos:
        return [], {}
    units = settings.units
    items: list[tuple[str, str, str]] = []
    pictures: dict[str, bytes] = {}
    for treatment, photo, when in _wanted(result, settings.photographs) or chosen(result):
        file = f"photo_{len(items) + 1}.jpg"
        pictures[file] = overlay_jpeg(photo)
        line = apex_words(photo.numbers)
        place = in_units(f"{photo.station_mm:g} mm", units) if photo.station_mm is not None else ""
        caption = (
            f"{treatment}, blade {photo.blade}, {when}"
            + (f", station {place}" if place else "")
            + f": {line}."
        )
        sides = "both lines of its crest" if photo.numbers["crest"] else "both fitted sides"
        alt = f"Photograph of the edge with {sides}. {caption}"
        items.append((file, alt, breakable(caption)))
    parts = [section("The edges under the microscope", photographs(items))] if items else []
    return parts, pictures


def _wanted(result, names):
    """(heat treatment, photograph, words) of the photographs that were named."""
    treatment_of = {reading.blade: reading.heat_treatment for reading in result.readings}
    photos = {photo.photo: photo for photo in result.photos if photo.measured}
    return [
        (treatment_of.get(photo.blade, ""), photo, _at_cuts(photo))
        for photo in (photos[name] for name in names if name in photos)
    ]


def chosen(result):
    """(heat treatment, photograph, words) of first and last stage, a blade each.

    Those that give the result's reading, where photographs do.
    """
    any_light = result.reading not in PHOTOGRAPHED
    treatment_of = {reading.blade: reading.heat_treatment for reading in result.readings}
    seen = set()
    for blade in dict.fromkeys(photo.blade for photo in result.photos if photo.blade):
        treatment = treatment_of.get(blade, "")
        measured = [
            p
            for p in result.photos
            if p.blade == blade and p.measured and (any_light or gives(p, result.reading))
        ]
        if treatment in seen or not measured or blade == result.study.control:
            continue
        seen.add(treatment)
        for photo in _first_and_last(measured):
            yield treatment, photo, _at_cuts(photo)


def _at_cuts(photo):
    return f"at {photo.cuts or 0:g} cuts"


def _first_and_last(photos):
    """The best photograph of the last stage, and before it the first of its station."""
    last = max(photos, key=lambda p: (p.cuts or 0, p.numbers.get("share_measured") or 0))
    place = last.station_mm, last.between_lamps
    same = (p for p in photos if (p.station_mm, p.between_lamps) == place)
    first = min(same, key=lambda p: p.cuts or 0)
    return [last] if first is last else [first, last]


def overlay_jpeg(photo):
    """The photograph with what was measured on it, or why not, cut to the edge, as JPEG."""
    from edgetest.store.images import read_picture, reduced_jpeg
    from edgetest.study.photos.measure_photos import with_arrays

    if photo.measurement is None and photo.task is not None:
        photo = with_arrays(photo)
    drawn = draw_result(read_picture(photo.path), photo, photo.measurement, view=CLOSE)
    return reduced_jpeg(drawn, inf, quality=88)


def width_words(numbers):
    """Edge width of a measurement's plain values, in words."""
    if numbers.get("below_um") is not None:
        return f"below {numbers['below_um']:.3g} µm"
    width = numbers.get("width_um")
    if width is None:
        return "not measured"
    value, interval = interval_words(width["mean"], width["low"], width["high"])
    return f"{value} µm ({interval})" if interval else f"{value} µm"


def apex_words(numbers):
    """A bright line's plain values, and what it may be in the hand; or those of a crest."""
    if numbers["crest"] is not None:
        return lamp_words(numbers)
    apex = numbers["apex"]
    forms = ApexForms(**apex) if apex else None
    return line_words(width_words(numbers), forms, Lighting(**numbers["light"]))
