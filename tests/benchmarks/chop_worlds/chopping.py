"""What happens when a shop chops? Stroke by stroke, with damage, looks and touch-ups."""

from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from tests.benchmarks.chop_worlds.bites_to_strokes import draw_hits
from tests.benchmarks.chop_worlds.notch import bites
from tests.benchmarks.chop_worlds.woods_to_chop import resistance

DEPTH_SCATTER = (0.15, 0.25)  # sd of the log of a single chop's depth


@dataclass
class Edge:
    """An edge at work: strokes since it was sharpened, chips and rolls (their sizes, mm)."""

    strokes: int = 0
    chips: list = field(default_factory=list)
    rolls: int = 0


@dataclass(frozen=True)
class Done:
    """One row of what happened, and of what was written about it."""

    kind: str
    tool: str
    lot: int = -1
    board: int = -1
    day: int = 0
    operator: int = 0
    order: int = 0
    before: int = 0
    tired: float = 1.0
    strokes: int = 0
    written: str = ""
    misses: int = 0
    knots: int = 0
    depth_mm: float | None = None
    mass_g: float | None = None
    chips: int = 0
    rolls: int = 0
    seen: tuple | None = None
    mishap: bool = False


class Session:
    """A run of work in one shop; `rows` fills as it goes on."""

    def __init__(self, shop):
        self.shop = shop
        self.rng = np.random.default_rng([shop.seed, 7, len(shop.kind)])
        rng, hands, grain = self.rng, shop.hands, shop.grain
        self.edges = {tool.name: Edge() for tool in shop.tools}
        self.boards = [rng.normal(0, grain.board_spread, lot.boards) for lot in shop.lots]
        self.days = rng.normal(0, hands.day_spread, hands.days)
        self.people = rng.normal(0, hands.operator_spread, len(hands.operators))
        self.needed = [bites(lot.section, shop.ways) * hardness(shop, lot) for lot in shop.lots]
        self.depth_scatter = float(rng.uniform(*DEPTH_SCATTER))
        self.rows = []
        self.since_rest = 0
        self.orders = Counter()

    def piece(self, tool, lot, board, day, operator):
        """One piece severed, or left standing."""
        shop, rng = self.shop, self.rng
        edge, hands = self.edges[tool.name], shop.hands
        tired = 1 + hands.fatigue * min(self.since_rest / hands.strokes_to_tire, 1.0)
        lean = self.boards[lot][board] + self.days[day] + self.people[operator]
        lean += rng.normal(0, shop.grain.piece_spread)
        needed = self.needed[lot] * tool.effort * tired * np.exp(lean)
        needed *= 1 + tool.dulling * edge.strokes / 100
        hits = draw_hits(needed, hands.bite_shape, rng)
        misses = int(rng.negative_binomial(hits, 1 - hands.misses))
        knots = int(rng.poisson(shop.grain.knots))
        extra = knots + int(rng.poisson(knots * (shop.grain.knot_strokes - 1)))
        strokes = hits + misses + extra
        standing = hands.stops_at is not None and strokes > hands.stops_at
        strokes = hands.stops_at if standing else strokes
        counted = strokes
        if not standing and rng.random() < hands.miscounts:
            counted = max(1, strokes + int(rng.choice([-1, 1])))
        before = edge.strokes
        self.wear(tool, strokes, knots)
        self.orders[tool.name, "billet"] += 1
        section = shop.lots[lot].section
        density = shop.lots[lot].wood.density_kg_m3 * np.exp(
            0.6 * self.boards[lot][board] + 0.5 * shop.lots[lot].lean + rng.normal(0, 0.02)
        )
        mishap = bool(rng.random() < shop.habits.mishaps)
        look = shop.habits.look == "each" and not mishap
        self.rows.append(
            Done(
                "billet",
                tool.name,
                lot,
                board,
                day,
                operator,
                self.orders[tool.name, "billet"],
                before,
                tired,
                strokes,
                f">{strokes}" if standing else str(counted),
                min(misses, counted),
                knots,
                mass_g=round(section.area_mm2 * 0.3 * density / 1000),
                chips=len(edge.chips),
                rolls=edge.rolls,
                seen=self.look(edge) if look else None,
                mishap=mishap,
            )
        )

    def wear(self, tool, strokes, knots):
        """Damage of these strokes; a knot counts as several."""
        edge, rng = self.edges[tool.name], self.rng
        load = strokes + knots * self.shop.grain.knot_damage
        edge.chips += list(np.exp(rng.normal(-0.7, 0.6, rng.poisson(tool.chips * load))))
        edge.rolls += int(rng.poisson(tool.rolls * load))
        edge.strokes += strokes
        self.since_rest += strokes

    def look(self, edge):
        """Chips, the largest of them and rolls as seen: small ones are overlooked now and then."""
        rng, blind = self.rng, self.shop.habits.overlooks
        seen = [c for c in edge.chips if rng.random() > blind * (2.0 if c < 0.4 else 0.5)]
        return len(seen), round(max(seen, default=0.0), 1), int(rng.binomial(edge.rolls, 1 - blind))

    def single(self, tool, day, operator):
        """One chop whose depth is read, in fir."""
        edge = self.edges[tool.name]
        log_depth = np.log(tool.depth_mm) - tool.loss * edge.strokes / 100
        depth = float(np.exp(log_depth + self.rng.normal(0, self.depth_scatter)))
        before = edge.strokes
        self.wear(tool, 1, 0)
        self.orders[tool.name, "single"] += 1
        self.rows.append(
            Done(
                "single",
                tool.name,
                day=day,
                operator=operator,
                order=self.orders[tool.name, "single"],
                before=before,
                strokes=1,
                depth_mm=round(depth, 1),
                chips=len(edge.chips),
                rolls=edge.rolls,
            )
        )

    def rest(self):
        """A rest takes most of the tiredness."""
        self.since_rest = int(0.3 * self.since_rest)

    def look_at_all(self, order):
        """Every edge is looked at, in a row of its own."""
        for tool in self.shop.tools:
            edge = self.edges[tool.name]
            self.rows.append(
                Done(
                    "inspection",
                    tool.name,
                    order=order,
                    before=edge.strokes,
                    chips=len(edge.chips),
                    rolls=edge.rolls,
                    seen=self.look(edge),
                )
            )

    def touch_up(self):
        """All edges are made good; a row tells of it where the shop writes such things."""
        for tool in self.shop.tools:
            before = self.edges[tool.name].strokes
            self.edges[tool.name] = Edge()
            self.rows.append(Done("touch-up", tool.name, before=before))


def hardness(shop, lot):
    """Resistance of a lot, or of a wish, in this shop's wood."""
    grain = shop.grain
    return resistance(lot.wood, grain.exponent, grain.moisture_pct) * np.exp(lot.lean)


def chop(shop):
    """The rows of the shop's work, in the order of the work: all blades in turn, board by board."""
    work = Session(shop)
    if shop.habits.look != "none":
        work.look_at_all(0)
    turns = [
        (lot, board, again)
        for lot, pieces in enumerate(shop.lots)
        for board in range(pieces.boards)
        for again in range(pieces.rounds)
    ]
    for number, (lot, board, _) in enumerate(turns):
        day = number * shop.hands.days // len(turns)
        operator = number % len(shop.hands.operators)
        for tool in shop.tools:
            for _ in range(shop.habits.singles):
                work.single(tool, day, operator)
            work.piece(tool, lot, board, day, operator)
        work.rest()
        if shop.habits.touch_up_after == number + 1:
            work.touch_up()
    if shop.habits.look != "none":
        work.look_at_all(99)
    return tuple(work.rows)
