"""What a chop test did to an edge: which chips and rolls were not there before it."""

from dataclasses import dataclass, replace

from edgetest.doubts import Where, doubt
from edgetest.estimate import json_fields
from edgetest.photo.side.follow import Followed, follow
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.chop.told_looks import photographed_before
from edgetest.study.words import listed

ALIKE = 0.1  # two looks show as much edge where their lengths differ by less than this share


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
    last look.
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
    told: list[Growth] = []
    for look in found:
        if look.when == "after":
            seen = [
                _of_blade(before.get(look.blade), one) for one in photographed_before(found, look)
            ]
            told += [
                _worst(one, [each for own in seen for each in own if each.kind == one.kind])
                for one in _of_blade(before.get(look.blade), look)
            ]
    return tuple(_alike(told, {look.blade: look for look in found if look.when == "after"}))


def _alike(grown, last):
    """Rates compare like with like: where one blade's kind counts by eye, that of all does.

    No chip that a photograph shows is lost by it: the most of both sources stands.
    """
    eyed = {one.kind for one in grown if one.source == "log" and one.edge_length_mm}
    for one in grown:
        look = last[one.blade]
        both = look.standing.new(one.kind) is not None and look.edge_length_mm
        if one.kind in eyed and one.source == "photographs" and both and one.seen_after is None:
            by = "counts" if one.by == "photographs" else one.by
            yield replace(one, by=by, source="log", edge_length_mm=look.edge_length_mm)
        else:
            yield one


def with_sources(found, grown):
    """The looks before and after, with the source that each kind of their damage counts by.

    Parameters
    ----------
    found : sequence of Look
    grown : sequence of Growth

    Returns
    -------
    tuple of Look
    """
    source = {(one.blade, one.kind): one.source for one in grown if one.seen_after is None}
    told = []
    for look in found:
        by_kind = {}
        for kind in KINDS if look.source and look.when != "between" else ():
            eyed = look.standing.worst(kind) is not None
            has = {"log": eyed, "photographs": look.source == "photographs"}
            wished = source.get((look.blade, kind))
            if wished and has[wished]:
                by_kind[kind] = wished
        told.append(replace(look, by_kind=tuple(by_kind.items())))
    return tuple(told)


def _worst(grown, earlier):
    """Damage does not heal: what an earlier photograph shows of the edge, where that is more."""
    for one in earlier:
        if one.new_at_least > grown.new_at_least:
            least, most = one.new_at_least, max(one.new_at_most, grown.new_at_most)
            new = one.new if least == most else None
            grown = replace(one, chops=grown.chops, new_at_most=most, new=new, seen_after=one.chops)
    return grown


def doubts_of_growth(grown):
    """What is not known of which damage is new."""
    for by, code in (("no_look_before", "no_look_before"), ("unknown", "new_or_old_unknown")):
        for name in dict.fromkeys(one.blade for one in grown if one.by == by):
            yield doubt(code, where=Where(blade=name))
    yield from _seen_unlike(grown)
    for name in dict.fromkeys(one.blade for one in grown if one.by == "touched_up"):
        yield doubt("old_or_new_after_touch_up", blade=name, where=Where(blade=name))


def _seen_unlike(grown):
    """Blades seen in photographs alone beside such as were counted by eye."""
    for kind in KINDS:
        of = [one for one in grown if one.kind == kind and one.new_at_most is not None]
        eyed = [one.blade for one in of if one.source == "log"]
        for one in of if eyed else ():
            if one.source == "photographs":
                yield doubt("damage_seen_unlike", blade=one.blade, kind=kind,
                            others=listed(eyed), where=Where(blade=one.blade))  # fmt: skip


def _of_blade(before, after):
    """Both kinds of damage of one blade; pictures are laid together once."""
    laid = _laid(before, after)
    for kind in KINDS:
        if after.count(kind) is not None:
            yield _in_all(_growth(before, after, kind, laid), after)


def _in_all(grown, after):
    """With what the log says was new at any look and on any edge, where that is more.

    Counts of the log stand where they were used, or where an edge was touched up since: what was
    on an earlier edge no photograph shows any more.
    """
    logged = after.standing.new(grown.kind)
    if logged is None:
        return grown
    sure = logged - after.standing.maybe_old(grown.kind)
    least, most = max(grown.new_at_least, sure), max(grown.new_at_most, logged)
    if after.source == "log" and grown.new is not None:
        least, most = sure, logged
    if grown.by == "no_look_before":
        return _since_first_look(grown, after, least, most)
    if (least, most) == (grown.new_at_least, grown.new_at_most):
        return grown
    told = grown.by == "photographs" or (grown.by == "unknown" and least == most)
    by = "counts" if told else grown.by
    by = "touched_up" if sure < logged and least < most else by
    new = least if least == most else None
    return replace(
        grown, new=new, old=None if new is None else grown.old, by=by,
        new_at_least=least, new_at_most=most, source="log",
        edge_length_mm=after.edge_length_mm or grown.edge_length_mm,
    )  # fmt: skip


def _since_first_look(grown, after, least, most):
    """What came after the first look, of an edge not looked at before; all of it, where so sure."""
    by = "counts" if least == most else grown.by
    source = "log" if most > grown.new_at_most else grown.source
    length = after.edge_length_mm if source == "log" else None
    return replace(
        grown, new=most, by=by, new_at_least=least, new_at_most=most, source=source,
        edge_length_mm=length or grown.edge_length_mm,
    )  # fmt: skip


def _laid(before, after):
    """Every pair of photographs followed; None where there are no pairs."""
    if before is None or not before.source == after.source == "photographs":
        return None
    if len(before.photos) != len(after.photos):
        return None
    return [
        follow(first.measurement, second.measurement)
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
