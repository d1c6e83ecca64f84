"""What a chop test did to an edge: which chips and rolls were not there before it."""

from dataclasses import dataclass

from edgetest.errors import UnusableInput
from edgetest.estimate import json_fields
from edgetest.photo.side.follow import Followed, follow
from edgetest.study.chop.chop_looks import KINDS


@dataclass(frozen=True)
class Growth:
    """Chips or rolls of one blade that are new since before the test.

    `by` is "photographs" (each followed from one picture to the next), "same_frame" (the same,
    the two pictures taken to show the same stretch), "counts" (one count less the other) or
    "no_look_before" (all that was found, for want of a look before).
    `followed` are the places that were there before, with how much deeper they are.
    """

    blade: str
    kind: str
    new: int
    old: int
    edge_length_mm: float | None
    chops: int
    by: str
    new_depth_um: tuple[float, ...] = ()
    followed: tuple[Followed, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


def growths(found):
    """What is new on every edge that was looked at after the test.

    Parameters
    ----------
    found : sequence of Look

    Returns
    -------
    tuple of Growth
    """
    before = {look.blade: look for look in found if look.when == "before"}
    return tuple(
        _growth(before.get(look.blade), look, kind)
        for look in found
        if look.when == "after"
        for kind in KINDS
        if look.count(kind) is not None
    )


def _growth(before, after, kind):
    """New chips or rolls of one blade."""
    count, length = after.count(kind)
    known = before.count(kind) if before is not None else None
    facts = {"edge_length_mm": length, "chops": after.chops}
    if known is None:
        depths = tuple(each["depth_um"] for each in after.used(kind))
        return Growth(after.blade, kind, count, 0, by="no_look_before",
                      new_depth_um=depths, **facts)  # fmt: skip
    if before.source == after.source == "photographs" and len(before.photos) == len(after.photos):
        pairs = [
            _pair(first.measurement, second.measurement, kind)
            for first, second in zip(before.photos, after.photos, strict=True)
        ]
        if None not in pairs:
            fresh = tuple(depth for depths, _, _ in pairs for depth in depths)
            same = tuple(one for _, old, _ in pairs for one in old)
            by = "photographs" if all(laid for _, _, laid in pairs) else "same_frame"
            return Growth(after.blade, kind, len(fresh), len(same), by=by,
                          new_depth_um=fresh, followed=same, **facts)  # fmt: skip
    new = max(0, count - known[0])
    return Growth(after.blade, kind, new, count - new, by="counts", **facts)


def _pair(before, after, kind):
    """Depths of what is new on the second picture, what was followed, and whether the two could
    be laid together; None where they do not show the same edge.
    """
    found = getattr(after, kind)
    if not found or not (before.chips or before.rolls):
        return [one.depth_um for one in found], [], True
    laid = True
    try:
        both = follow(before, after)
    except UnusableInput:  # too little damage in common to find the shift
        laid = False
        try:
            both = follow(before, after, shift_um=0.0)
        except UnusableInput:
            return None
    same = [one for one in getattr(both, kind) if one.before is not None and one.after is not None]
    known = [one.after for one in same]
    return [one.depth_um for one in found if one not in known], same, laid
