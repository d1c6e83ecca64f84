"""What a chop test did to an edge: which chips and rolls were not there before it."""

from dataclasses import dataclass

from edgetest.study.chop_looks import KINDS

# A photograph framed again by hand: how far a chip may seem to move, and shrink.
REACH_UM, LEAST_SHARE = 1500.0, 0.6


@dataclass(frozen=True)
class Growth:
    """Chips or rolls of one blade that are new since before the test.

    `by` is "photographs" (each followed from one picture to the next), "counts" (one count
    less the other) or "no_look_before" (all that was found, for want of a look before).
    """

    blade: str
    kind: str
    new: int
    old: int
    edge_length_mm: float
    chops: int
    by: str
    new_depth_um: tuple[float, ...] = ()
    growth_um: tuple[float, ...] = ()

    def to_dict(self):
        """Plain values for JSON."""
        return {
            **vars(self),
            "new_depth_um": list(self.new_depth_um),
            "growth_um": list(self.growth_um),
        }


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
        return _followed(before, after, kind, facts)
    new = max(0, count - known[0])
    return Growth(after.blade, kind, new, count - new, by="counts", **facts)


def _followed(before, after, kind, facts):
    """Chips matched picture by picture, in the order of the log."""
    fresh, grown = [], []
    for first, second in zip(before.photos, after.photos, strict=True):
        left = sorted(first.numbers[kind], key=lambda each: -each["depth_um"])
        for each in sorted(second.numbers[kind], key=lambda each: -each["depth_um"]):
            same = next((old for old in left if _same(old, each)), None)
            if same is None:
                fresh.append(each["depth_um"])
            else:
                left.remove(same)
                grown.append(each["depth_um"] - same["depth_um"])
    return Growth(
        after.blade,
        kind,
        len(fresh),
        len(grown),
        by="photographs",
        new_depth_um=tuple(fresh),
        growth_um=tuple(grown),
        **facts,
    )


def _same(old, new):
    """Whether a chip may be the one of before: at its place and not much shallower."""
    near = abs(old["position_um"] - new["position_um"]) <= REACH_UM
    return near and new["depth_um"] >= LEAST_SHARE * old["depth_um"]
