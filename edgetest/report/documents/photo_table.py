"""All photographs of a comparison, a row each: in a file beside the document, or inside it."""

import hashlib

from edgetest.photo.apex.apex_light import FacingWidth, Lighting
from edgetest.report.documents.blocks import facts, section, table, text
from edgetest.report.documents.photo_pages import width_words
from edgetest.report.letters import breakable, short_names
from edgetest.report.wording import in_units
from edgetest.store.export import spreadsheet_text
from edgetest.store.files import csv_text
from edgetest.study.words import counted

ASIDE, INSIDE = "aside", "inside"
WHERE = (ASIDE, INSIDE)
FILE = "comparison_photographs.csv"


def photo_table(result, settings):
    """The rows of all photographs, where the maker wants them.

    Parameters
    ----------
    result : Titled
    settings : Settings
        Its `photograph_table` and units.

    Returns
    -------
    list of section
        The table itself, or where the file is and its SHA-256 checksum.
    dict of str to bytes
        The file beside the document by name; empty where the table stands inside.
    """
    if not result.photos:
        return [], {}
    if settings.photograph_table == INSIDE:
        return [_inside(result, settings.units)], {}
    data = photographs_csv(result.photos)
    checksum = hashlib.sha256(data).hexdigest()
    grouped = " ".join(checksum[k : k + 16] for k in range(0, len(checksum), 16))
    said = f"{_counted(result)} Each has its row in {FILE} beside this document."
    rows = facts([("File", FILE), ("Its checksum", f"SHA-256 {grouped}")])
    told = section("All photographs", text(said), rows, text(_meant(result)))
    return [told], {FILE: data}


def photographs_csv(photos):
    """Photographs as CSV: names, checksums, widths in µm, remarks; no cell is a formula.

    Parameters
    ----------
    photos : sequence of PhotoResult

    Returns
    -------
    bytes
        UTF-8 with the mark that a spreadsheet asks for.
    """
    rows = [
        photo.to_row()
        | {
            "damaged_places": len(photo.numbers["chips"] or ()) if photo.measured else None,
            "remarks": _remarks(photo),
            "sha256": photo.sha256,
        }
        for photo in photos
    ]
    cells = [[_cell(cell) for cell in row.values()] for row in rows]
    return csv_text([list(rows[0]), *cells]).encode("utf-8-sig")


def _remarks(photo):
    """What speaks against a photograph, or why it was refused."""
    told = photo.numbers["warnings" if photo.measured else "reasons"]
    return " ".join(remark["text"] for remark in told)


def _cell(value):
    """A cell of the file: a number in full, a text that is no formula, nothing for None."""
    if value is None:
        return ""
    return f"{value:.6g}" if isinstance(value, float | int) else spreadsheet_text(str(value))


def _counted(result):
    """How many photographs, and how many of them were refused."""
    refused = sum(not photo.measured for photo in result.photos)
    return f"{counted(len(result.photos), 'photograph')}, {refused} refused."


def _facing_words(numbers):
    """W30 of a measurement's plain values, without its unit; a dash where nothing bounds it."""
    facing = numbers["w30_um"]
    return FacingWidth(**facing).words().replace(" µm", "") if facing else "–"


def _inside(result, units):
    """All photographs, a line each; what is remarked of several is said once, under a letter."""
    columns = [
        ("Photograph", "left", 1.5),
        ("Blade", "left", 0.8),
        ("Cuts", "right", "auto"),
        ("Station", "right", "auto"),
        ("Bright line, µm", "right", "auto"),
        ("W30, µm", "right", "auto"),
        ("Damage", "right", "auto"),
        ("Remarks", "left", "auto"),
    ]
    remarks = [
        photo.numbers["warnings" if photo.measured else "reasons"] for photo in result.photos
    ]
    said = dict.fromkeys(remark["text"] for some in remarks for remark in some)
    letter = {text: _letter(number) for number, text in enumerate(said)}
    files = short_names([photo.photo.rpartition("/")[2] for photo in result.photos], 30)
    blades = short_names([photo.blade or "–" for photo in result.photos], 18)
    rows = [
        [
            breakable(file),
            breakable(blade, most=10),
            *_photo_cells(photo, units),
            " ".join(letter[remark["text"]] for remark in some),
        ]
        for photo, file, blade, some in zip(result.photos, files, blades, remarks, strict=True)
    ]
    caption = (
        f"{_counted(result)} Intervals are 95 %; damage counts notches, lips and rolls of the land."
    )
    key = [facts([(letter[words], words) for words in said])] if said else []
    return section(
        "All photographs", text(_meant(result)), *key, table(columns, rows, caption=caption)
    )


def _meant(result):
    """What the two widths of the table are, and in which light they were taken."""
    lights = dict.fromkeys(Lighting(**photo.numbers["light"]).words() for photo in result.photos)
    return (
        "The bright line is what shines between the bevels. W30 is the distance between the two "
        "lines where the apex leans 30° from facing the lens: the width of a flat, the radius of "
        "a round crest; light through the lens bounds it, two lamps across the edge measure it. "
        f"Light: {'; '.join(lights)}."
    )


def _photo_cells(photo, units):
    """Cuts, station, both widths and number of damaged places of one photograph."""
    width, chips = "refused", "–"
    facing = _facing_words(photo.numbers)
    if photo.measured:
        lamps = photo.numbers["crest"] is not None
        width = "–" if lamps else width_words(photo.numbers).replace(" µm", "")
        chips = "–" if lamps else str(len(photo.numbers["chips"] or ()))
    cuts = "–" if photo.cuts is None else f"{photo.cuts:g}"
    station = "–" if photo.station_mm is None else in_units(f"{photo.station_mm:g} mm", units)
    return [cuts, station, width, facing, chips]


def _letter(number):
    """The letters a, b, … z, aa, ab, …"""
    first, last = divmod(number, 26)
    return (_letter(first - 1) if first else "") + "abcdefghijklmnopqrstuvwxyz"[last]
