"""Photographs in a document: before and after of each heat treatment, or those chosen."""

from math import inf

from edgetest.photo.apex.apex_light import ApexForms, Lighting, line_words
from edgetest.report.documents.blocks import photographs, section
from edgetest.report.figures.overlay import View, draw_result
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units, interval_words
from edgetest.store.document_wishes import wished_pictures
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
    items: list[tuple[str, str, str]] = []
    pictures: dict[str, bytes] = {}
    named = _named(result, settings)
    for caption, alt, jpeg in named if named is not None else _before_and_after(result, settings):
        file = f"photo_{len(items) + 1}.jpg"
        pictures[file] = jpeg
        items.append((file, alt, breakable(caption)))
    seen_so = "The edges under the microscope" if result.photos else "In photographs"
    parts = [section(seen_so, photographs(items))] if items else []
    return parts, pictures


def _before_and_after(result, settings):
    """Caption, text for those who do not see it, and JPEG of each photograph chosen unasked."""
    for treatment, photo, when in chosen(result):
        yield _measured(treatment, photo, when, settings.units)


def _named(result, settings):
    """Those that the study names, in its order; None where it names none but of a chop test.

    A picture on which nothing was measured is shown as it is: with the reason where it was
    refused, as the maker's own where no row knows it. A row of a chop test has its own sheet.
    """
    from edgetest.study.photos.pictures_of_chops import pictures_of_chops

    treatment_of = {reading.blade: reading.heat_treatment for reading in result.readings}
    photos = {photo.photo: photo for photo in result.photos}
    wished = wished_pictures(settings, result.study.folder) if settings.photographs else {}
    elsewhere = pictures_of_chops(result.study) - set(photos) if wished else set()
    here = {name: path for name, path in wished.items() if name not in elsewhere}
    if not here:
        return None
    return [
        _measured(treatment_of.get(photo.blade, ""), photo, _at_cuts(photo), settings.units)
        if (photo := photos.get(name)) is not None and photo.measured
        else _as_it_is(name, path, photo, settings.units)
        for name, path in here.items()
    ]


def _measured(treatment, photo, when, units):
    """Caption, text and JPEG of a photograph with its width drawn on it."""
    place = in_units(f"{photo.station_mm:g} mm", units) if photo.station_mm is not None else ""
    caption = (
        f"{treatment}, blade {photo.blade}, {when}"
        + (f", station {place}" if place else "")
        + f": {apex_words(photo.numbers)}."
    )
    sides = "both lines of its crest" if photo.numbers["crest"] else "both fitted sides"
    return caption, f"Photograph of the edge with {sides}. {caption}", overlay_jpeg(photo)


def _as_it_is(name, path, photo, units):
    """Caption, text and JPEG of a picture on which nothing was measured."""
    from edgetest.store.shown_picture import shown_jpeg

    if photo is None:
        caption = f"{name}: the maker's picture, nothing was measured on it."
    else:
        where = f", blade {photo.blade}, {_at_cuts(photo)}" if photo.blade else ""
        told = " ".join(reason["text"] for reason in photo.numbers["reasons"])
        caption = in_units(f"{name}{where}: not measured. {told}".strip(), units)
    return caption, f"Photograph. {caption}", shown_jpeg(path)


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
