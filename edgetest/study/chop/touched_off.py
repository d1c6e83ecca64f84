"""What did touching up take off an edge, and what stands on it now?"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from edgetest.store.chop_log import TOUCH_UP, ChopRow
from edgetest.study.chop.chop_rows import strokes
from edgetest.study.chop.edge_damage import KINDS, EdgeDamage, damage_by_row


@dataclass(frozen=True)
class TouchedOff:
    """Damage of one kind by eye, over all touch-ups of a blade.

    `taken` is what they took off (None: nobody looked where it matters), `now` what was counted
    on the edge as it stands (None: not looked), `most` the most that any of its edges had.
    """

    kind: str
    taken: int | None
    now: int | None
    most: int


def touched_off(rows: Sequence[ChopRow], blade: str) -> tuple[TouchedOff, ...]:
    """What all touch-ups of a blade took off, and what is on its last edge, by kind of damage.

    Parameters
    ----------
    rows : sequence of ChopRow
        The whole log, in the order of the work.
    blade : str

    Returns
    -------
    tuple of TouchedOff
        Chips, then rolls.
    """
    damage = damage_by_row(rows)
    edges: dict[int, EdgeDamage] = {}
    first: dict[tuple[int, str], int] = {}
    worked: set[int] = set()
    for row in rows:
        if row.blade == blade:
            standing = damage[row.line]
            edges[standing.edge] = standing
            if row.kind not in ("inspection", TOUCH_UP) and not row.waiting:
                worked.add(standing.edge)
            for kind in KINDS if row.look_counts else ():
                if (count := getattr(row, f"{kind}_count")) is not None:
                    first.setdefault((standing.edge, kind), count)
    return tuple(_of_kind(kind, _told(kind, [*edges.values()], worked), first) for kind in KINDS)


def _told(kind: str, edges: Sequence[EdgeDamage], worked: set[int]) -> list[EdgeDamage]:
    """The edges without those that were stoned on before they worked and were looked at."""
    last = edges[-1:]
    return [each for each in edges[:-1]
            if each.worst(kind) is not None or each.edge in worked] + [*last]  # fmt: skip


def _of_kind(
    kind: str, edges: Sequence[EdgeDamage], first: dict[tuple[int, str], int]
) -> TouchedOff:
    """One kind of damage over the edges of a blade, each as it stood when it was last worked."""
    taken: int | None = 0
    for old, new in pairwise(edges):
        had = old.worst(kind)
        if had == 0:
            continue
        left = dict(new.before).get(kind)
        if left is None and first.get((new.edge, kind)) == 0:
            left = 0  # damage does not heal: what is not there now was taken off
        known = taken is not None and had is not None and left is not None
        taken = taken + max(0, round(had - left)) if known else None
    now = edges[-1].worst(kind) if edges else None
    most = max((each.worst(kind) or 0 for each in edges), default=0)
    return TouchedOff(kind, taken, None if now is None else round(now), round(most))


def touched_up_after(rows: Sequence[ChopRow], blade: str) -> str:
    """After how many of its strokes a blade was touched up, as logged; "" where it was not."""
    made = strokes(rows)
    at = [made[row.line][1] for row in rows if row.blade == blade and row.kind == TOUCH_UP]
    return f"edge was touched up after {' and '.join(map(str, at))} strokes" if at else ""
