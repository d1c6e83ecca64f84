"""What do a shop's strokes come to in the long run? Means over boards, days and hands drawn anew.

A factor that the test met at one level only (one board, one day, one operator) is held as it was;
`anew` draws that too. The edge is in the state that it had on the average of the pieces.
"""

from dataclasses import dataclass, replace

import numpy as np

from tests.benchmarks.chop_worlds.bites_to_strokes import mean_hits
from tests.benchmarks.chop_worlds.chopping import Session, chop, hardness
from tests.benchmarks.chop_worlds.notch import bites

DRAWS = 1500


@dataclass(frozen=True)
class Cell:
    """Truth of one blade in one lot: mean strokes a piece, and what was written of its pieces."""

    tool: str
    lot: int
    mean: float
    anew: float
    written: tuple[str, ...]


@dataclass(frozen=True)
class Truth:
    """What the judge holds an answer to.

    wished : mean strokes of each blade for the shop's wish
    contrasts : true ratio (first heat treatment to second) by quantity; `loss` is a difference,
        percent of depth lost per 100 strokes
    falls : blades whose written damage falls without a touch-up that was written
    worst : by blade, most chips and most rolls ever written of its last edge
    in_all : the same, added up over its edges
    """

    rows: tuple
    cells: tuple[Cell, ...]
    wished: dict[str, float]
    contrasts: dict[str, float]
    falls: frozenset[str]
    worst: dict[str, tuple[int, int]]
    in_all: dict[str, tuple[int, int]]


def strokes_of(shop, needed, leans):
    """Mean strokes of pieces that need this many full bites, over these leans."""
    hits = mean_hits(needed * np.exp(leans), shop.hands.bite_shape)
    extra = shop.grain.knots * shop.grain.knot_strokes
    return float(np.mean(hits) / (1 - shop.hands.misses) + extra)


def leans(shop, work, rows, rng, *, anew=False):
    """Leans of a piece like these: drawn where the test had several levels, else as they were."""
    lot = rows[0].lot
    told = rng.normal(0, shop.grain.piece_spread, DRAWS)
    for spread, which, was in (
        (shop.grain.board_spread, {r.board for r in rows}, work.boards[lot]),
        (shop.hands.day_spread, {r.day for r in rows}, work.days),
        (shop.hands.operator_spread, {r.operator for r in rows}, work.people),
    ):
        drawn = anew or len(which) > 1
        told = told + (rng.normal(0, spread, DRAWS) if drawn else was[next(iter(which))])
    return told


def cell_of(shop, work, tool, lot, rows, rng):
    """Truth of one blade in one lot."""
    means = []
    for anew in (False, True):
        lean = leans(shop, work, rows, rng, anew=anew)
        needed = [
            work.needed[lot] * tool.effort * r.tired * (1 + tool.dulling * r.before / 100)
            for r in rows
        ]
        means.append(float(np.mean([strokes_of(shop, n, lean) for n in needed])))
    written = tuple(r.written for r in rows)
    return Cell(tool.name, lot, means[0], means[1], written)


def wished(shop, work, tool, rows, rng):
    """Mean strokes of this blade for the shop's wish, edge and arm as on the average here."""
    several = {"day": len({r.day for r in rows}) > 1, "man": len({r.operator for r in rows}) > 1}
    lean = rng.normal(0, shop.grain.piece_spread, DRAWS)
    lean += rng.normal(0, shop.grain.board_spread, DRAWS)
    hands = shop.hands
    lean += rng.normal(0, hands.day_spread, DRAWS) if several["day"] else work.days[0]
    lean += rng.normal(0, hands.operator_spread, DRAWS) if several["man"] else work.people[0]
    needed = bites(shop.wish.section, shop.ways) * hardness(shop, shop.wish) * tool.effort
    needed *= np.mean([r.tired * (1 + tool.dulling * r.before / 100) for r in rows])
    return strokes_of(shop, needed, lean)


def contrasts(shop, rows):
    """True ratios of the first heat treatment to the second, a middling blade of each."""
    if not shop.treatments:
        return {}
    tool = replace(shop.tools[0], effort=1.0)
    state = np.mean([r.tired * (1 + tool.dulling * r.before / 100) for r in rows])
    lot = shop.lots[0]
    needed = bites(lot.section, shop.ways) * hardness(shop, lot) * state
    first = strokes_of(shop, needed * shop.contrast["strokes"], np.zeros(1))
    told = {k: v for k, v in shop.contrast.items() if k in ("chips", "rolls")}
    lost = [100 * (1 - np.exp(-shop.contrast[f"loss_{t}"])) for t in shop.treatments]
    return told | {
        "chops": first / strokes_of(shop, needed, np.zeros(1)),
        "depth": shop.contrast["depth"],
        "depth_per_100": shop.contrast["loss_high"] - shop.contrast["loss_low"],
        "loss": float(lost[0] - lost[1]),
        "loss_ratio": float(lost[0] / lost[1]),
    }


def seen_damage(shop, rows):
    """Blades whose counts or largest chip fall; the worst of the last edge, and of all edges."""
    falls, worst, in_all = set(), {}, {}
    for tool in shop.tools:
        edges = [[(0, 0, 0.0)]]
        for row in (r for r in rows if r.tool == tool.name):
            if row.kind == "touch-up" and shop.habits.logs_touch_up:
                edges.append([(0, 0, 0.0)])
            if row.seen is None:
                continue
            count = (row.seen[0], row.seen[2])
            told = (*count, row.seen[1])
            if any(told[i] < max(c[i] for c in edges[-1]) for i in range(3)):
                falls.add(tool.name)
            edges[-1].append(told)
        most = [tuple(max(c[i] for c in edge) for i in (0, 1)) for edge in edges]
        worst[tool.name] = most[-1]
        in_all[tool.name] = tuple(sum(m[i] for m in most) for i in (0, 1))
    return frozenset(falls), worst, in_all


def worked(shop):
    """Chop, and work out the truth of it."""
    rows = chop(shop)
    work = Session(shop)  # the same boards, days and hands: drawn first, from the same seed
    rng = np.random.default_rng([shop.seed, 11])
    pieces = [r for r in rows if r.kind == "billet" and not r.mishap]
    cells, wishes = [], {}
    for tool in shop.tools:
        own = [r for r in pieces if r.tool == tool.name]
        for lot in sorted({r.lot for r in own}):
            here = [r for r in own if r.lot == lot]
            cells.append(cell_of(shop, work, tool, lot, here, rng))
        if own:
            wishes[tool.name] = wished(shop, work, tool, own, rng)
    return Truth(rows, tuple(cells), wishes, contrasts(shop, pieces), *seen_damage(shop, rows))
