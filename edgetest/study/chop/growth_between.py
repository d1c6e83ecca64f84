"""What is new on an edge between two looks at it: by pairs of photographs, by counts, in bounds."""

from dataclasses import dataclass, replace

from edgetest.estimate import json_fields
from edgetest.photo.side.follow import Followed, follow
from edgetest.store.kept_answers import worked_out_once
from edgetest.study.chop.edge_damage import KINDS

ALIKE = 0.1  # two looks show as much edge where their lengths differ by less than this share


@dataclass(frozen=True)
class Photographed:
    """New chips or rolls that photographs show of a tool, within bounds, and on how much edge."""

    at_least: int
    at_most: int
    edge_length_mm: float | None

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


@dataclass(frozen=True)
class Growth:
    """Chips or rolls of one blade that are new since before the test.

    `by` is "photographs" (each pair laid together by the sound edge's roughness, and each place
    followed), "counts" (one count less the other), "no_look_before" (all that was found, for want
    of a look before; `new_at_least` of it came after the first look), "touched_up" (nobody looked
    between a touch-up and the next work, and as many as stood before it may be the old ones:
    bounds) or "unknown" (the photographs could not be laid together: `new` and `old` are None, and
    the counts bound what is new).
    `source` says which of the two the number and the length of edge rest on, "photographs" or
    "log" (the count by eye). `followed` are the places that were there before, with how much
    deeper they are; `following` is how each pair of photographs was laid together. `seen_after` is
    after how many chops it was photographed, where a photograph between pieces shows more than the
    last look. Where the number is counted by eye, `why_eye` says why: "asked" (`damage_from`),
    "unseen" (the eye saw what no photograph shows) or "alike" (another tool's count by eye, and
    rates compare like with like); `photographed` is then what the photographs show new.
    """

    blade: str
    kind: str
    new: int | None
    old: int | None
    edge_length_mm: float | None
    chops: int
    by: str
    new_at_least: int
    new_at_most: int
    new_depth_um: tuple[float, ...] = ()
    followed: tuple[Followed, ...] = ()
    following: tuple[dict, ...] = ()
    seen_after: int | None = None
    source: str | None = None
    why_eye: str | None = None
    photographed: Photographed | None = None

    @property
    def beyond_eye(self):
        """How many more the photographs show new, for sure, than the eye counted; 0: no more."""
        shown = self.photographed
        return max(0, shown.at_least - self.new_at_most) if shown is not None else 0

    def to_dict(self):
        """Plain values for JSON."""
        return json_fields(self)


def growth_between(before, after):
    """Chips and rolls of one blade that a later look shows and an earlier did not.

    Parameters
    ----------
    before : Look or None
    after : Look

    Returns
    -------
    list of Growth
        A kind of damage each, where the later look says anything of it; pictures are laid
        together once.
    """
    laid = _laid(before, after)
    return [_growth(before, after, kind, laid) for kind in KINDS if after.count(kind) is not None]


def _laid(before, after):
    """Every pair of photographs followed; None where there are no pairs."""
    if before is None or not before.source == after.source == "photographs":
        return None
    if len(before.photos) != len(after.photos):
        return None
    return [
        _followed_once(first.measurement, second.measurement)
        for first, second in zip(before.photos, after.photos, strict=True)
    ]


def _growth(before, after, kind, laid):
    """New chips or rolls of one blade."""
    count, length = after.count(kind)
    known = before.count(kind) if before is not None else None
    depths = tuple(each["depth_um"] for each in after.used(kind))
    all_new = Growth(after.blade, kind, count, 0, length, after.chops, "no_look_before",
                     0, count, depths, source=after.source)  # fmt: skip
    if known is None:
        return all_new
    if laid is not None:
        return _followed(all_new, before, after, laid)
    least = max(0, count - known[0])
    if before.source == after.source == "log":
        return replace(all_new, new=least, old=count - least, by="counts",
                       new_at_least=least, new_at_most=least, new_depth_um=())  # fmt: skip
    return _by_counts(all_new, least if _as_long(before, after) else 0)


def _followed_once(first, second):
    """Two measurements followed; laid together once, for it takes a second."""
    return worked_out_once("followed", (first, second), lambda: follow(first, second))


def _followed(whole, before, after, laid):
    """What is new by pairs laid together, bounded where a pair could not be."""
    found = [one for pair in laid for one in getattr(pair, whole.kind)]
    fresh = tuple(one.after.depth_um for one in found if one.word == "new")
    least = len(fresh) + _more_unlaid(whole.kind, before, after, laid)
    most = sum(one.only_after for one in found)
    same = tuple(one for one in found if one.before and one.after)
    told = tuple(pair.laid.to_dict() for pair in laid)
    whole = replace(whole, followed=same, following=told)
    if least < most:
        return _unknown(whole, least, most)
    if all(pair.accepted for pair in laid):
        return replace(_known(whole, most, fresh), by="photographs")
    return replace(_known(whole, most, whole.new_depth_um), by="counts")


def _more_unlaid(kind, before, after, laid):
    """How many more the second pictures show, of the pairs that could not be laid together."""
    pairs = zip(laid, before.photos, after.photos, strict=True)
    return sum(_more(kind, *two) for pair, *two in pairs if not pair.accepted)


def _known(whole, new, depths):
    """So many are new, and so deep."""
    return replace(whole, new=new, old=whole.new_at_most - new, new_at_least=new,
                   new_at_most=new, new_depth_um=depths)  # fmt: skip


def _more(kind, before, after):
    """How many more the second photograph shows, where it shows no more edge than the first."""
    shown = [len(getattr(photo.measurement, kind)) for photo in (before, after)]
    return max(0, shown[1] - shown[0]) if _as_long(before, after) else 0


def _by_counts(whole, least):
    """What the counts alone say: all is new where nothing was there before, else bounds."""
    if least == whole.new_at_most:
        return replace(whole, by="counts", new_at_least=least)
    return _unknown(whole, least, whole.new_at_most)


def _unknown(whole, least, most):
    """New or old: unknown, within bounds."""
    return replace(whole, new=None, old=None, by="unknown", new_at_least=least,
                   new_at_most=most, new_depth_um=())  # fmt: skip


def _as_long(before, after):
    """Whether two looks, or two photographs, show as much edge."""
    first, second = (_length(one) for one in (before, after))
    return first is None or second is None or second <= (1 + ALIKE) * first


def _length(one):
    """Length of edge that a look or a photograph shows, mm, or None."""
    if hasattr(one, "measurement"):
        return (one.measurement.edge_length_um or 0.0) / 1000
    return one.photo_length_mm if one.source == "photographs" else one.edge_length_mm
