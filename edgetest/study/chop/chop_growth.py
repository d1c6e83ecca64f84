"""What a chop test did to an edge: which chips and rolls were not there before it."""

from dataclasses import replace

from edgetest.doubts import Where, doubt
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.chop.growth_between import Growth, Photographed, growth_between
from edgetest.study.chop.growth_by_pictures import growth_by_pictures
from edgetest.study.words import listed


def growths(found):
    """What is new on every edge that was looked at after the test.

    Parameters
    ----------
    found : sequence of Look

    Returns
    -------
    tuple of Growth
    """
    told: list[Growth] = []
    eyed: dict[tuple[str, str], Growth] = {}
    for look in found:
        if look.when == "after":
            by_eye = _by_eye(found, look)
            shown = growth_by_pictures(found, look)
            pictured = any(
                (one.blade, one.when, one.source) == (look.blade, "between", "photographs")
                for one in found
            )
            told += _of_blade(look, shown, by_eye, pictured)
            eyed |= {(look.blade, kind): one for kind, one in by_eye.items()}
    return tuple(_alike(told, eyed))


def _of_blade(look, shown, eyed, pictured):
    """Both kinds of damage of one blade, by the source that its last look uses.

    Where an earlier look `pictured` more than the eye saw at the last, its photographs count.
    """
    for kind in KINDS:
        seen, by_eye = shown.get(kind), eyed.get(kind)
        if look.source == "photographs" and seen is not None:
            yield _in_all(seen, look)
        elif look.source != "log" or by_eye is None:
            continue
        elif pictured and seen is not None and seen.new_at_least > by_eye.new_at_least:
            yield seen
        else:
            yield _beside_pictures(by_eye, seen, "asked" if look.seen_by("photographs") else None)


def _beside_pictures(by_eye, seen, why):
    """A count by eye with what the photographs show new beside it."""
    if seen is None:
        return by_eye
    shown = Photographed(seen.new_at_least, seen.new_at_most, seen.edge_length_mm)
    return replace(by_eye, why_eye=why, photographed=shown)


def _by_eye(found, last):
    """What the log alone says is new on one tool's edges, by kind; empty where it says nothing."""
    after = last.seen_by("log")
    if after is None:
        return {}
    before = next((x for x in found if (x.blade, x.when) == (last.blade, "before")), None)
    first = before and (before.seen_by("log") or before)
    return {one.kind: _in_all(one, after) for one in growth_between(first, after)}


def _alike(grown, eyed):
    """Rates compare like with like: where one blade's kind counts by eye, that of all does.

    No chip that a photograph shows is lost by it: what they show stands beside the count.
    """
    kinds = {one.kind for one in grown if one.source == "log" and one.edge_length_mm}
    for one in grown:
        by_eye = eyed.get((one.blade, one.kind))
        if one.kind in kinds and one.source == "photographs" and _can_turn(one, by_eye):
            yield _beside_pictures(by_eye, one, "alike")
        else:
            yield one


def _can_turn(one, by_eye):
    """Whether the eye knows as much: it counted before the test too, on a length that is typed."""
    if by_eye is None or not by_eye.edge_length_mm:
        return False
    return by_eye.by != "no_look_before" or one.by == "no_look_before"


def with_sources(found, grown):
    """The looks, with the source that each kind of their damage counts by.

    Parameters
    ----------
    found : sequence of Look
    grown : sequence of Growth

    Returns
    -------
    tuple of Look
    """
    source = {(one.blade, one.kind): one.source for one in grown}
    told = []
    for look in found:
        by_kind = {}
        for kind in KINDS if look.source else ():
            eyed = look.standing.worst(kind) is not None
            has = {"log": eyed, "photographs": look.source == "photographs"}
            wished = source.get((look.blade, kind))
            if wished and has[wished]:
                by_kind[kind] = wished
        told.append(replace(look, by_kind=tuple(by_kind.items())))
    return tuple(told)


def doubts_of_growth(grown):
    """What is not known of which damage is new."""
    for by, code in (("no_look_before", "no_look_before"), ("unknown", "new_or_old_unknown")):
        for name in dict.fromkeys(one.blade for one in grown if one.by == by):
            yield doubt(code, where=Where(blade=name))
    yield from _seen_unlike(grown)
    yield from _gone_to_the_eye(grown)
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


def _gone_to_the_eye(grown):
    """Kinds of damage that count by eye although photographs of it count elsewhere, and why."""
    for kind in KINDS:
        unseen = [one for one in grown if (one.kind, one.why_eye) == (kind, "unseen")]
        for one in unseen:
            yield doubt("eye_beyond_photographs", blade=one.blade, kind=kind,
                        eye=one.new_at_most, shown=one.photographed.at_least,
                        where=Where(blade=one.blade))  # fmt: skip


def _in_all(grown, after):
    """With what the log says was new at any look and on any edge, where that is more.

    Counts of the log stand where they were used, or where an edge was touched up since: what was
    on an earlier edge no photograph shows any more.
    """
    logged = after.standing.new(grown.kind)
    if logged is None:
        return grown
    sure = logged - after.standing.maybe_old(grown.kind)
    if _settled(grown, sure, logged):
        return replace(grown, new=logged, by="counts", new_at_least=sure, new_at_most=logged)
    least, most = max(grown.new_at_least, sure), max(grown.new_at_most, logged)
    if after.source == "log" and grown.new is not None:
        least, most = sure, logged
    if grown.by == "no_look_before":
        return _since_first_look(grown, after, least, most)
    if (least, most) == (grown.new_at_least, grown.new_at_most):
        return grown
    turned = _counted_by_eye(grown, after, least, most, sure < logged)
    return turned if grown.source == "log" else _beside_pictures(turned, grown, "unseen")


def _settled(grown, sure, logged):
    """Whether the eye says which of the bounds that a touch-up leaves to photographs holds."""
    inside = grown.new_at_least <= sure and logged <= grown.new_at_most
    return grown.by == "touched_up" and sure == logged and inside


def _counted_by_eye(grown, after, least, most, maybe_old):
    """What is new by the eye's count, on the length of edge that it went over."""
    told = grown.by == "photographs" or (grown.by == "unknown" and least == most)
    by = "counts" if told else grown.by
    by = "touched_up" if maybe_old and least < most else by
    new = least if least == most else None
    return replace(
        grown, new=new, old=None if new is None else grown.old, by=by,
        new_at_least=least, new_at_most=most, source="log", seen_after=None,
        edge_length_mm=after.edge_length_mm or grown.edge_length_mm,
    )  # fmt: skip


def _since_first_look(grown, after, least, most):
    """What came after the first look, of an edge not looked at before; all of it, where so sure."""
    by = "counts" if least == most else grown.by
    source = "log" if most > grown.new_at_most else grown.source
    length = after.edge_length_mm if source == "log" else None
    told = replace(
        grown, new=most, by=by, new_at_least=least, new_at_most=most, source=source,
        edge_length_mm=length or grown.edge_length_mm,
    )  # fmt: skip
    return _beside_pictures(told, grown, "unseen") if source != grown.source else told
