"""What the photographs alone show new on a tool's edges, at any look and over all touch-ups."""

from dataclasses import replace

from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.chop.growth_between import Growth, growth_between


def growth_by_pictures(found, last):
    """New chips and rolls by the photographs of all looks at one tool, up to its last look.

    Damage does not heal, so the most that any picture of an edge shows stands. Each edge is
    followed from its own photographs before its first work; where a touched-up edge has none, it is
    followed from those of the edge before it, and what both edges show may be the same damage.

    Parameters
    ----------
    found : sequence of Look
    last : Look

    Returns
    -------
    dict of str to Growth
        By kind; empty where no photographs show what is new.
    """
    mine = [look for look in found if look.blade == last.blade]
    edges, before, apart = [], None, True
    for edge in range(1, last.standing.edge + 1):
        of = [look for look in mine if look.standing.edge == edge]
        fresh = next((look for look in of if look.fresh), None)
        own = edge == 1 or _pictured(fresh)
        before = fresh if own else before
        if worked := [look for look in of if not look.fresh and _pictured(look)]:
            edges.append(_of_edge(before, worked, last))
            apart = apart and own
    return _by_kind(edges, apart)


def _by_kind(edges, apart):
    """What is new on all edges, by kind."""
    of_kind = {kind: [edge[kind] for edge in edges if kind in edge] for kind in KINDS}
    return {kind: _joined(parts, apart) for kind, parts in of_kind.items() if parts}


def _pictured(look):
    """Whether there is such a look, and photographs tell all of it."""
    return look is not None and look.seen_by("photographs") is not None


def _of_edge(before, worked, last):
    """The most that any picture of one edge shows new, by kind; the latest where they are even."""
    first = before and (before.seen_by("photographs") or before)
    most: dict[str, Growth] = {}
    for look in reversed(worked):
        for one in growth_between(first, look.seen_by("photographs")):
            seen_after = None if look is last else look.chops
            shown = replace(one, chops=last.chops, seen_after=seen_after)
            if one.kind not in most or shown.new_at_least > most[one.kind].new_at_least:
                most[one.kind] = shown
    return most


def _joined(parts, apart):
    """What is new on several edges; bounds where the damage of one may be that of another.

    Parameters
    ----------
    parts : list of Growth
        An edge each, in order.
    apart : bool
        Whether each edge was photographed before its first work.
    """
    showing = [one for one in parts if one.new_at_most]
    if len(showing) < 2:
        return (showing or parts)[-1]
    return _summed(parts, showing, apart)


def _summed(parts, showing, apart):
    """The damage of several edges that show some, together."""
    least = (sum if apart else max)(one.new_at_least for one in parts)
    most = sum(one.new_at_most for one in parts)
    new = least if least == most else None
    known = all(one.new is not None for one in parts)
    by = "counts" if new is not None else "touched_up" if known else "unknown"
    depths = [depth for one in parts for depth in one.new_depth_um]
    return replace(
        parts[-1], new=new, old=None, by=by, new_at_least=least, new_at_most=most,
        new_depth_um=tuple(depths) if new is not None else (), seen_after=None,
        edge_length_mm=min(one.edge_length_mm for one in showing),
    )  # fmt: skip
