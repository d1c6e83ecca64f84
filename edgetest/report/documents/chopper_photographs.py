"""Photographs on a tool's sheet beside the pair of page one: those asked for, and the worst."""

from edgetest.report.documents.blocks import photographs, section
from edgetest.report.documents.chopper_edge import look_picture, look_words, photographed_last
from edgetest.report.letters import breakable
from edgetest.report.wording import in_units
from edgetest.store.document_wishes import wished_pictures
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.photos.measured_table import read_measured

TALL_PX = 1200


def photograph_sections(result, blade, settings, pictures):
    """The photographs that the study names; where it names none the look that shows most damage.

    Parameters
    ----------
    result : ChopResult
    blade : str
    settings : Settings
        Its units, and the photographs that the maker has chosen.
    pictures : dict of str to bytes
        Takes them up by file name.

    Returns
    -------
    list of section
    """
    items: list[tuple[str, str, str]] = []
    for caption, jpeg in _wished(result, blade, settings) or _worst(result, blade):
        file = f"shot_{len(items) + 1}.jpg"
        pictures[file] = jpeg
        caption = in_units(caption, settings.units)
        items.append((file, f"Photograph. {caption}", breakable(caption)))
    return [section("In photographs", photographs(items))] if items else []


def _wished(result, blade, settings):
    """Caption and JPEG of each photograph that the study names, but for those of other tools.

    A picture that no row names is the maker's own: it is shown as it is, and so is a look that
    was not measured, with the reason.
    """
    from edgetest.store.shown_picture import shown_jpeg

    shots = {photo.photo: (look, photo) for look in result.looks for photo in look.photos}
    blade_of = {row.photo: row.blade for row in result.log.rows if row.photo}
    of_the_wear = set(read_measured(result.study.folder))
    found = []
    for name, path in wished_pictures(settings, result.study.folder).items():
        look, photo = shots.get(name, (None, None))
        if name in of_the_wear or blade_of.get(name, blade) != blade:
            continue
        if photo is not None and photo.measurement is not None:
            found.append(look_picture(result, look, photo))
            continue
        told = f"{name}: the maker's picture, nothing was measured on it."
        if photo is not None:
            told = look_words(result, look, photo)
        found.append((told, shown_jpeg(path, TALL_PX)))
    return found


def _worst(result, blade):
    """Caption and JPEG of the most damaged side view between, where page one shows less."""
    last = photographed_last(result, blade)
    taken = [(look, photo) for look in result.looks if look.blade == blade
             for photo in look.photos if photo.measured]  # fmt: skip
    if last is None or not taken:
        return []
    look, photo = max(taken, key=lambda each: _damage(each[1]))
    shown = [_damage(photo) for look, photo in taken if look is last or look.when == "before"]
    if look is last or look.when == "before" or _damage(photo) <= max(shown, default=(0, 0.0)):
        return []
    return [look_picture(result, look, photo)]


def _damage(photo):
    """How many chips and rolls a side view shows, and how deep they are in all."""
    found = [one for kind in KINDS for one in photo.numbers[kind]]
    return len(found), sum(one["depth_um"] for one in found)
