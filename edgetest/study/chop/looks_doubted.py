"""What do looks at an edge leave open: their photographs, and which of the counts is used?"""

from dataclasses import replace
from typing import Any

from edgetest.doubts import Doubt, Where, doubt
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.photos.same_pictures import same_pictures
from edgetest.study.words import counted, listed

LONGEST = 1.02  # photographs of one look that show more times the edge's length are doubted
AS_MUCH = 0.9  # a look shows as much edge as one before it, where no less than this share of it
MAY_HIDE = (
    "same_picture",
    "photographs_fell",
    "soft_focus",
    "part_of_edge",
    "damaged_at_border",
    "damage_seen_unlike",
)


# Why a kind of damage counts by eye although photographs show some, by `Growth.why_eye`.
WHY_BY_EYE = {
    "unseen": "for the eye saw a new one that they do not show",
    "alike": "as with the tool beside it, for the rates to compare",
}


def doubts_of_looks(found, grown=()):
    """What the looks leave open: photographs, and which of the counts is used.

    Parameters
    ----------
    found : sequence of Look
        In the order of the log.
    grown : sequence of Growth, optional
        What is new, with why it counts by eye.

    Yields
    ------
    Doubt
    """
    lost = {
        "side_view_refused": [x.photo for look in found for x in look.photos if not x.measured],
        "side_view_missing": [name for look in found for name in look.missing],
    }
    for code, names in lost.items():
        if names:
            many, which = counted(len(names), "side view"), ", ".join(names)
            yield doubt(code, photographs=many, which=which, where=Where(value=which))
    yield from _against_pictures(found)
    yield from _fallen(found)
    yield from _more_than_typed(found)
    both = [x for x in found if x.measured and x.counted["chips"] is not None and x.source]
    if both:
        yield doubt("damage_from_both", used=_counting(both, grown))


def _why_by_eye(grown, blades):
    """Why chips count by eye beside photographs, of each tool where it is not one reason."""
    whys: dict[str, list[str]] = {}
    for one in grown:
        if one.kind == "chips" and one.blade in blades:
            whys.setdefault(WHY_BY_EYE.get(one.why_eye, ""), []).append(one.blade)
    if len(whys) < 2:
        return f", {why}" if (why := next(iter(whys), "")) else ""
    return "".join(f", of {listed(names)} {why}" for why, names in whys.items() if why)


def _counting(both, grown):
    """Which of two sources count at looks that have both, in words, and why the eye does."""
    used = {look.sources["chips"] for look in both}
    if len(used) > 1:
        return "the one or the other counts, as its line says"
    if used == {"photographs"}:
        return "the photographs count"
    return f"the count by eye counts{_why_by_eye(grown, {look.blade for look in both})}"


def doubts_of_pictures(rows, folder):
    """A doubt about each blade of which a row shows a picture that another row shows too.

    Parameters
    ----------
    rows : sequence of ChopRow
    folder : Path
        Where the photographs lie.

    Yields
    ------
    Doubt
    """
    named = [row for row in rows if row.photo]
    for told, files in same_pictures(named, folder) if named else ():
        for blade in dict.fromkeys(row.blade for row in named if row.photo in files):
            yield replace(told, where=replace(told.where, blade=blade))


def _against_pictures(found):
    """What speaks against the measured photographs, once for all of a blade that it is said of."""
    names: dict[tuple[str, str, str], list[str]] = {}
    first: dict[tuple[str, str, str], Doubt] = {}
    for look in found:
        for photo in look.measured:
            for one in photo.doubts:
                if one.code == "more_rolls_than_chips" and _rolls_by_eye(look):
                    continue
                key = (look.blade, one.code, one.text)
                names.setdefault(key, []).append(photo.photo)
                first.setdefault(key, one)
    for (blade, _, text), those in names.items():
        one = first[blade, _, text]
        said = f"{listed(dict.fromkeys(those))}: {text}"
        yield replace(one, text=said, where=replace(one.where, blade=blade))


def _rolls_by_eye(look):
    """Whether the eye counted more rolls than chips too: then the blade is not the bright side."""
    return (look.counted["rolls"] or 0) > (look.counted["chips"] or 0)


def _fallen(found):
    """Looks whose photographs show less damage than earlier ones of as much of the same edge."""
    last: dict[tuple[str, int], Any] = {}
    for look in found:
        if not look.measured or len(look.measured) < len(look.photos) or look.missing:
            continue
        earlier = last.get((look.blade, look.standing.edge))
        last[look.blade, look.standing.edge] = look
        if earlier is None or look.photo_length_mm < AS_MUCH * earlier.photo_length_mm:
            continue
        fell = [kind for kind in KINDS if len(look.seen(kind)) < len(earlier.seen(kind))]
        if fell:
            before, now = (
                listed(
                    counted(len(one.seen(kind)) or "no", kind.removesuffix("s")) for kind in fell
                )
                for one in (earlier, look)
            )
            yield doubt("photographs_fell", blade=look.blade, before=before, now=now,
                        earlier=earlier.chops, chops=look.chops,
                        where=Where(blade=look.blade, row=look.rows[0]))  # fmt: skip


def _more_than_typed(found):
    """Looks whose photographs show more edge than the blade has."""
    for look in found:
        shown, typed = look.photo_length_mm, look.edge_length_mm
        if typed and shown > LONGEST * typed:
            where = Where(blade=look.blade, row=look.rows[0])
            yield doubt("more_edge_than_typed", blade=look.blade, photographed=f"{shown:.0f}",
                        typed=f"{typed:g}", where=where)  # fmt: skip
