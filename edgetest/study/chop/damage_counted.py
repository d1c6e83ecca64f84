"""What do the rates of damage take of the looks at an edge: before, after, and new since?"""

from edgetest.chop.damage_rates import Inspection
from edgetest.study.chop.edge_damage import KINDS
from edgetest.study.chop.told_looks import photographed_before


def inspections(found, grown, *, depth_limit_um=None):
    """What `chop_report` takes of the looks: the edge before, after, and what came of the test.

    Parameters
    ----------
    found : sequence of Look
    grown : sequence of Growth
        What is new since before, a blade and kind each.
    depth_limit_um : float, optional
        Depth above which an edge counts as damaged.

    Returns
    -------
    tuple of Inspection
    """
    made = []
    for when in ("before", "after"):
        for kind in KINDS:
            rows = [
                (look.blade, *count, 0, [each["depth_um"] for each in look.used(kind)])
                for look in _telling(found, grown, when, kind)
                if (count := look.count(kind)) is not None
            ]
            made.append(_inspection(kind, when, rows, depth_limit_um))
    for kind in KINDS:
        rows = [
            (one.blade, one.new, one.edge_length_mm, one.chops, one.new_depth_um)
            for one in grown
            if one.kind == kind and one.new is not None
        ]
        made.append(_inspection(kind, "during", rows, depth_limit_um))
    return tuple(one for one in made if one is not None)


def _telling(found, grown, when, kind):
    """The looks before, or after: of the latter an earlier one whose photograph shows more."""
    seen_after = {one.blade: one.seen_after for one in grown if one.kind == kind}
    for look in found:
        if look.when == when:
            more = [
                one for one in photographed_before(found, look)
                if when == "after" and one.chops == seen_after.get(look.blade)
            ]  # fmt: skip
            yield (more or [look])[-1]


def _inspection(kind, when, rows, depth_limit_um):
    """One kind of damage at one time on the edges of known length, or None.

    A row is blade, count, length of edge, chops made (0: not told) and depths.
    """
    known = [row for row in rows if row[2] is not None]
    if not known:
        return None
    blade, count, length, chops, depths = zip(*known, strict=True)
    return Inspection(
        kind,
        blade,
        count,
        length,
        when=when,
        chops={name: made for name, made in zip(blade, chops, strict=True) if made},
        depth_um=[depth for own in depths for depth in own],
        depth_limit_um=depth_limit_um,
    )
