"""The edge of a chopped tool before and after: pictures of one stretch, looks in rows."""

from dataclasses import replace
from math import inf

from edgetest.report.figures.overlay import View, draw_result
from edgetest.store.chop_log import TOUCH_UP
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.chop.looks_doubted import WHY_BY_EYE
from edgetest.study.chop.told_looks import photographed_before
from edgetest.study.words import counted

PHOTO_PX, PHOTO_TALL = 1100, 0.25
MARGIN_UM, MOST_UM = 1800.0, 16_000.0  # of edge shown about the damage, and at most
SHOWN_WHOLE = 0.9  # of the edge: a picture that shows more is not called a part (own choice)


def edge_pictures(result, blade, *, words=str):
    """One stretch of the edge before and after, what was found marked on it.

    Parameters
    ----------
    result : ChopResult
    blade : str
    words : callable
        What a reason why a picture was not measured becomes where it is read.

    Returns
    -------
    list of (str, bytes)
        Caption and JPEG, of the stretch that shows most damage afterwards.
    """
    look = photographed_last(result, blade)
    before, after = (_readable(each) for each in (result.look(blade, "before"), look))
    if not before and not after:
        return []
    last = after or before
    place = _telling(last)
    stretch = _stretch(last[place])
    shots = [("Before the test", before)] if len(before) == len(last) else []
    shots += [(when_words(result, look), after)] if after else []
    return [
        (
            f"{when}: {_found_words(photos[place], words)}{_cut_words(photos[place], stretch)}",
            _edge_jpeg(photos[place], stretch, words),
        )
        for when, photos in shots
    ]


def when_words(result, look):
    """When a look was taken: before the test, or after so many chops; and how many of them on the
    edge as it was touched up last, where it was.
    """
    if look.when == "before":
        return "Before the test"
    made, told = strokes(result.log.rows), f"After {counted(look.chops, 'chop')}"
    stoned = [
        made[row.line][1] for row in result.log.rows
        if (row.blade, row.kind) == (look.blade, TOUCH_UP)
        and not row.exclude and not row.waiting and row.line <= look.rows[-1]
    ]  # fmt: skip
    if not stoned or not stoned[-1]:
        return told
    since = look.chops - stoned[-1]
    return f"{told}, {since} of them since it was touched up" if since else f"{told}, touched up"


def look_picture(result, look, photo):
    """One side view of a look: all of it, with what was found marked on it.

    Returns
    -------
    str
        Caption.
    bytes
        JPEG.
    """
    return look_words(result, look, photo), _edge_jpeg(photo, None, str)


def look_words(result, look, photo):
    """When a side view was taken and what was found on it, or why it was not measured."""
    return f"{when_words(result, look)}: {_found_words(photo, str)}"


def photographed_last(result, blade):
    """The look after the test; without a readable photograph the last one that has one."""
    last = result.look(blade, "after")
    if last is None or _readable(last):
        return last
    return next(
        (x for x in reversed(photographed_before(result.looks, last)) if _readable(x)), last
    )


def _readable(look):
    """The pictures of a look that could be read."""
    return [photo for photo in look.photos if photo.measurement is not None] if look else []


def look_rows(result, blade):
    """Every look at a tool's edge: what the eye counted, what the photographs show, which is used.

    Returns
    -------
    list of dict
    """
    return [
        {
            "when": look.when,
            "chops": look.chops,
            "chips by eye": look.counted["chips"],
            "rolls by eye": look.counted["rolls"],
            "photographs": len(look.measured) or None,
            "chips in photographs": len(look.seen("chips")) if look.measured else None,
            "rolls in photographs": len(look.seen("rolls")) if look.measured else None,
            "deepest chip, µm": round(max((x["depth_um"] for x in look.seen("chips")), default=0))
            or None,
            "used": look.used_words or "neither",
        }
        for look in result.looks
        if look.blade == blade
    ]


def _telling(photos):
    """Which of the pictures shows most damage."""

    def depth(photo):
        return sum(each["depth_um"] for kind in ("chips", "rolls") for each in photo.numbers[kind])

    return max(range(len(photos)), key=lambda k: depth(photos[k]))


def _found_words(photo, words):
    """What was found on one side view."""
    if not photo.measured:
        return "not measured. " + " ".join(
            words(reason["text"]) for reason in photo.numbers["reasons"]
        )
    parts = []
    for kind, word, way in (("chips", "chip", "deep"), ("rolls", "roll", "high")):
        found = photo.numbers[kind]
        if found:
            deepest = max(found, key=lambda each: each["depth_um"])
            size, long = deepest["depth_um"] / 1000, deepest["length_um"] / 1000
            plural = "" if len(found) == 1 else f"s, the {way}est"
            parts.append(f"{len(found)} {word}{plural} {size:.2f} mm {way} and {long:.1f} mm long")
    length = photo.numbers["edge_length_um"] / 1000
    return f"{'; '.join(parts) or 'no chip, no roll'}, on {length:.0f} mm of edge."


def _cut_words(photo, stretch):
    """That the picture shows a stretch of the edge alone, and what lies outside it; "" of all."""
    if stretch is None or not photo.measured:
        return ""
    along = photo.measurement.position_um
    shown = min(stretch[1], along.max()) - max(stretch[0], along.min())
    if shown > SHOWN_WHOLE * (along.max() - along.min()):
        return ""
    out = {kind: sum(not _inside(one["position_um"], stretch) for one in photo.numbers[kind])
           for kind in ("chips", "rolls")}  # fmt: skip
    lie = "lies" if sum(out.values()) == 1 else "lie"
    outside = " and ".join(counted(many, kind[:-1]) for kind, many in out.items() if many)
    return f" Shown: {shown / 1000:.0f} mm of it{f'; {outside} {lie} outside' if outside else ''}."


def source_words(result, look):
    """Where the chips were seen, which source is used, and how many are older than the test."""
    if look.counted["chips"] is None or not look.measured:
        return ""
    seen, eye = len(look.seen("chips")), look.counted["chips"]
    photos = counted(len(look.measured), "photograph")
    chips = next((x for x in result.growth if (x.blade, x.kind) == (look.blade, "chips")), None)
    by_eye = chips.source == "log" if chips is not None else look.source != "photographs"
    used = "count by eye counts" if by_eye else "photographs count"
    which = "" if seen == eye else f"; the {used} here{_why_eye(chips)}"
    words = f"Afterwards {counted(seen or 'no', 'chip')} in {photos}, {eye} by eye{which}."
    old = (len(chips.followed) if by_eye else chips.old) if chips is not None else 0
    if old:
        which = "those in the photographs" if by_eye else "them"
        some = "It" if seen == old == 1 else f"{old} of {which}"
        words += f" {some} {'was' if old == 1 else 'were'} there before the test."
    return words


def _why_eye(chips):
    """Why a count by eye is used beside photographs; "" where nothing is known of it."""
    why = WHY_BY_EYE.get(chips.why_eye) if chips is not None else None
    return f", {why}" if why else ""


def _stretch(photo):
    """From where to where along the edge the damage lies, µm; None for all of the picture."""
    found = [*photo.numbers["chips"], *photo.numbers["rolls"]]
    if not photo.measured or not found:
        return None
    first = min(each["position_um"] for each in found) - MARGIN_UM
    last = max(each["position_um"] for each in found) + MARGIN_UM
    if last - first > MOST_UM:
        deepest = max(found, key=lambda each: each["depth_um"])["position_um"]
        first, last = deepest - MOST_UM / 2, deepest + MOST_UM / 2
    return first, last


def _edge_jpeg(photo, stretch, words):
    """A side view, or a stretch of it, with what was measured on it, as JPEG."""
    from edgetest.store.images import read_picture, reduced_jpeg

    picture, measured = read_picture(photo.path), photo.measurement
    view = View(crop=True, tall=PHOTO_TALL, width_px=PHOTO_PX, size=1.9)
    if stretch is not None and photo.measured:
        view = replace(view, window=_window(measured, stretch, picture.grey.shape))
        measured = replace(
            measured,
            chips=_within(measured.chips, stretch),
            rolls=_within(measured.rolls, stretch),
        )
    return reduced_jpeg(draw_result(picture, photo, measured, view=view, words=words), inf)


def _within(found, stretch):
    """Damage of the stretch that is shown."""
    return tuple(one for one in found if _inside(one.position_um, stretch))


def _inside(position_um, stretch):
    """Whether a place on the edge lies in the stretch that is shown."""
    return stretch[0] <= position_um <= stretch[1]


def _window(measured, stretch, shape):
    """Rows and columns of the picture about a stretch of its edge."""
    inside = (measured.position_um >= stretch[0]) & (measured.position_um <= stretch[1])
    path = measured.reference_rc[inside] if inside.any() else measured.reference_rc
    (top, left), (bottom, right) = path.min(axis=0), path.max(axis=0)
    wide, high = max(right - left, 1), max(bottom - top, 1)
    half_r = max(high, PHOTO_TALL * wide) / 2 + 0.03 * wide
    half_c = max(wide, PHOTO_TALL * high) / 2
    row, column = (top + bottom) / 2, (left + right) / 2
    return (
        max(0, int(row - half_r)),
        max(0, int(column - half_c)),
        min(shape[0], int(row + half_r) + 1),
        min(shape[1], int(column + half_c) + 1),
    )
