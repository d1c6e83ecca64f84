"""What kinds of shop are there, and what is drawn for each? Twelve kinds, every figure seeded."""

from dataclasses import replace

import numpy as np

from tests.benchmarks.chop_worlds.notch import Section, Ways
from tests.benchmarks.chop_worlds.shop import Grain, Habits, Hands, Lot, Shop, Tool, Wish
from tests.benchmarks.chop_worlds.woods_to_chop import WOODS

LOT_SPREAD = 0.10  # a lot's resistance against its species' mean, sd of the log


def log_uniform(rng, low, high):
    """A draw even in the logarithm."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def tool(rng, name, treatment=""):
    """A tool of no heat treatment in question."""
    return Tool(
        name,
        treatment,
        effort=float(np.exp(rng.normal(0, 0.15))),
        dulling=float(rng.uniform(0.0, 0.12)),
        chips=log_uniform(rng, 0.001, 0.02),
        rolls=log_uniform(rng, 0.001, 0.02),
        depth_mm=float(rng.uniform(8, 14)),
        loss=float(rng.uniform(0.0, 0.25)),
    )


def ways(rng):
    """A smith's ways; the exponent on depth comes out between about 1.3 and 2.2."""
    return Ways(
        opening_deg=float(rng.uniform(40, 90)),
        opening_growth=float(rng.choice([0.0, rng.uniform(0.0, 0.2)])),
        chip_growth=float(rng.uniform(0.1, 0.7)),
        bite_mm3=log_uniform(rng, 5000, 12000),
        slice_mm2=float(rng.uniform(350, 600)),
        ligament_mm=float(rng.uniform(0, 6)),
    )


def square(side):
    """A square piece."""
    return Section(float(side), float(side))


def lot(rng, wood, section, orientation="", boards=3, rounds=1):
    """Pieces of one wood and section, the lot's own resistance drawn."""
    return Lot(wood, section, orientation, boards, rounds, float(rng.normal(0, LOT_SPREAD)))


def plain(rng, kind, seed):
    """Two tools, the control one of them, one wood, one square size, three or four boards."""
    wood = WOODS[rng.integers(len(WOODS))]
    side = int(rng.choice([40, 50, 60, 70]))
    pieces = lot(
        rng, wood, square(side), boards=int(rng.integers(3, 6)), rounds=int(rng.integers(1, 4))
    )
    other = round(side * rng.uniform(0.65, 1.6))
    return Shop(
        kind,
        seed,
        tools=(tool(rng, "T1"), tool(rng, "C1")),
        lots=(pieces,),
        wish=Wish(wood, square(other), "", pieces.lean),
        ways=ways(rng),
        hands=Hands(bite_shape=float(rng.uniform(1.5, 5))),
        grain=Grain(
            board_spread=float(rng.uniform(0.10, 0.20)),
            piece_spread=float(rng.uniform(0.02, 0.08)),
            exponent=float(rng.uniform(0.4, 0.75)),
            moisture_pct=float(rng.choice([8, 10, 12, 14])),
        ),
        habits=Habits(
            weighs=bool(rng.random() < 0.5), look=str(rng.choice(["each", "each", "end"]))
        ),
        control="C1" if rng.random() < 0.7 else None,
    )


def notch(rng, base):
    """Two or three depths at one face width; the wish is another depth at that width."""
    wood, face = base.lots[0].wood, float(rng.choice([45, 60, 90]))
    depths = rng.choice([25, 32, 40, 50, 63, 80], size=int(rng.integers(2, 4)), replace=False)
    lean = base.lots[0].lean
    lots = tuple(replace(laid(rng, wood, face, float(d)), lean=lean) for d in sorted(depths))
    wished = float(round(rng.choice(depths) * rng.uniform(0.75, 1.5)))
    aim = laid(rng, wood, face, wished)
    return replace(base, lots=lots, wish=Wish(wood, aim.section, aim.orientation, lean))


def laid(rng, wood, face, depth, boards=3, rounds=1):
    """A piece of this face and depth, with the word for how it lies."""
    how = "" if face == depth else ("flat" if face > depth else "on edge")
    return lot(rng, wood, Section(face, depth), how, boards, rounds)


def turned(rng, base):
    """Thick pieces are turned and notched from both faces, thinner ones are not."""
    wood, lean = base.lots[0].wood, base.lots[0].lean
    sizes = sorted(rng.choice([40, 50, 75, 90], size=2, replace=False))
    lots = tuple(replace(lot(rng, wood, square(s)), lean=lean) for s in sizes)
    way = replace(base.ways, turns_above_mm=float(rng.choice([55, 70])))
    aim = square(round(sizes[-1] * rng.uniform(0.8, 1.3)))
    return replace(base, lots=lots, ways=way, wish=Wish(wood, aim, "", lean))


def lath(rng, base):
    """Laths, severed by a blow or two without a notch."""
    wood, lean = base.lots[0].wood, base.lots[0].lean
    face, depth = float(rng.choice([20, 30, 40])), float(rng.choice([6, 8, 10, 12, 15]))
    pieces = replace(laid(rng, wood, face, depth, boards=4, rounds=2), lean=lean)
    aim = laid(rng, wood, face, float(round(depth * rng.uniform(0.7, 1.5))))
    return replace(base, lots=(pieces,), wish=Wish(wood, aim.section, aim.orientation, lean))


def sharp(rng, base):
    """A notch of one narrow opening whose last wood breaks."""
    sizes = rng.choice([32, 40, 50, 60], size=int(rng.integers(1, 3)), replace=False)
    wood, lean = base.lots[0].wood, base.lots[0].lean
    lots = tuple(replace(lot(rng, wood, square(s), boards=4), lean=lean) for s in sorted(sizes))
    way = replace(
        base.ways,
        opening_deg=float(rng.uniform(40, 48)),
        opening_growth=0.0,
        chip_growth=0.1,
        ligament_mm=float(rng.uniform(5, 10)),
    )
    aim = square(round(max(sizes) * rng.uniform(0.8, 1.5)))
    return replace(base, lots=lots, ways=way, wish=Wish(wood, aim, "", lean))


def rounds(rng, base):
    """Round wood, green or dry, of one or two diameters."""
    wood, lean = base.lots[0].wood, base.lots[0].lean
    sizes = rng.choice([25, 35, 45, 60, 75], size=int(rng.integers(1, 3)), replace=False)
    lots = tuple(
        replace(lot(rng, wood, Section(float(s), float(s), True), boards=4), lean=lean)
        for s in sorted(sizes)
    )
    other = float(round(rng.choice(sizes) * rng.uniform(0.75, 1.4)))
    grain = replace(base.grain, moisture_pct=float(rng.choice([12, 14, 30])))
    return replace(
        base, lots=lots, grain=grain, wish=Wish(wood, Section(other, other, True), "", lean)
    )


def knots(rng, base):
    """Knotty wood: a knot in every second piece or more, each worth some strokes and a chip."""
    grain = replace(
        base.grain, knots=float(rng.uniform(0.4, 1.5)), knot_strokes=float(rng.uniform(2, 6))
    )
    pieces = replace(base.lots[0], boards=4, rounds=2)
    return replace(base, grain=grain, lots=(pieces,))


def people(rng, base):
    """Two who swing, three or four days, and fatigue."""
    hands = replace(
        base.hands,
        operators=("A", "B"),
        days=int(rng.integers(3, 5)),
        day_spread=float(rng.uniform(0.05, 0.10)),
        operator_spread=float(rng.uniform(0.05, 0.10)),
        fatigue=float(rng.uniform(0.1, 0.2)),
    )
    pieces = replace(base.lots[0], boards=2 * hands.days, rounds=int(rng.integers(1, 3)))
    return replace(base, hands=hands, lots=(pieces,))


def under(rng, base):
    """A skilled hand: strokes scatter far less than chance."""
    hands = replace(base.hands, bite_shape=float(rng.uniform(5, 12)), misses=0.01, miscounts=0.0)
    grain = replace(base.grain, board_spread=float(rng.uniform(0.04, 0.10)), piece_spread=0.02)
    return replace(base, hands=hands, grain=grain)


def over(rng, base):
    """An unsteady hand in uneven wood: strokes scatter two to four times chance."""
    hands = replace(base.hands, bite_shape=float(rng.uniform(0.4, 0.8)), misses=0.10, stops_at=80)
    grain = replace(base.grain, piece_spread=float(rng.uniform(0.12, 0.22)))
    return replace(base, hands=hands, grain=grain)


def dulling(rng, base):
    """Edges that dull 10 to 30 % per 100 strokes over a long test; touched up in some shops."""
    tools = tuple(replace(t, dulling=float(rng.uniform(0.1, 0.3))) for t in base.tools)
    pieces = replace(base.lots[0], boards=4, rounds=3)
    habits = base.habits
    if rng.random() < 0.6:
        habits = replace(
            habits, look="each", touch_up_after=6, logs_touch_up=bool(rng.random() < 0.5)
        )
        rates = {"chips": 0.02, "rolls": 0.03}
        tools = tuple(replace(t, **rates) for t in tools)
    return replace(base, tools=tools, lots=(pieces,), habits=habits)


def mixed(rng, base):
    """Two or three woods, two sections, one of them flat or on edge; a third wood is wished for."""
    picked = rng.choice(len(WOODS), size=4, replace=False)
    sections = [(60.0, 60.0), (90.0, 38.0), (38.0, 90.0), (45.0, 45.0), (70.0, 30.0)]
    chosen = rng.choice(len(sections), size=2, replace=False)
    count = int(rng.integers(2, 4))
    lots = tuple(
        laid(rng, WOODS[picked[i]], *sections[chosen[i % 2]], boards=int(rng.integers(2, 4)))
        for i in range(count)
    )
    aim = laid(rng, WOODS[picked[3]], *sections[int(rng.integers(len(sections)))])
    habits = replace(base.habits, notes_orientation=bool(rng.random() < 0.7))
    hands = replace(base.hands, stops_at=int(rng.choice([40, 60, 100])))
    wish = Wish(aim.wood, aim.section, aim.orientation, aim.lean)
    return replace(base, lots=lots, wish=wish, habits=habits, hands=hands)


def one_board(rng, base):
    """Three or four pieces of one board: what a maker does in half an hour."""
    return replace(base, lots=(replace(base.lots[0], boards=1, rounds=int(rng.integers(3, 5))),))


def treatments(rng, base, most=6, least=2):
    """Two heat treatments of two to six blades each; rates scatter from blade to blade."""
    scatter = float(rng.uniform(0.3, 0.8))
    effort_scatter = float(rng.uniform(0.03, 0.15))
    ratio = {
        "strokes": float(np.exp(rng.normal(0, 0.12))),
        "chips": float(np.exp(rng.normal(0, 0.8))),
        "rolls": float(np.exp(rng.normal(0, 0.8))),
        "depth": float(np.exp(rng.normal(0, 0.12))),
    }
    loss = {"low": float(rng.uniform(0.03, 0.25)), "high": float(rng.uniform(0.03, 0.25))}
    chips, rolls = log_uniform(rng, 0.01, 0.06), log_uniform(rng, 0.01, 0.06)
    depth, dull = float(rng.uniform(9, 12)), float(rng.uniform(0.0, 0.12))
    made = []
    for treatment in ("low", "high"):
        up = {k: v if treatment == "low" else 1.0 for k, v in ratio.items()}
        for i in range(int(rng.integers(least, most + 1))):
            made.append(
                Tool(
                    f"{treatment[0].upper()}{i + 1}",
                    treatment,
                    effort=up["strokes"] * float(np.exp(rng.normal(0, effort_scatter))),
                    dulling=dull,
                    chips=chips * up["chips"] * float(np.exp(rng.normal(0, scatter))),
                    rolls=rolls * up["rolls"] * float(np.exp(rng.normal(0, scatter))),
                    depth_mm=depth * up["depth"] * float(np.exp(rng.normal(0, effort_scatter / 2))),
                    loss=loss[treatment] * float(np.exp(rng.normal(0, 0.15))),
                )
            )
    ratio |= {f"loss_{name}": rate for name, rate in loss.items()}
    pieces = replace(base.lots[0], boards=4, rounds=2)
    return replace(
        base,
        tools=tuple(made),
        lots=(pieces,),
        control=None,
        treatments=("low", "high"),
        contrast=ratio,
        habits=replace(base.habits, look="each", singles=2),
    )


def few_blades(rng, base):
    """Two heat treatments of two blades each."""
    return treatments(rng, base, most=2, least=2)


KINDS = {
    "notch": notch,
    "turned": turned,
    "lath": lath,
    "sharp": sharp,
    "round": rounds,
    "knots": knots,
    "people": people,
    "under": under,
    "over": over,
    "dulling": dulling,
    "mixed": mixed,
    "one_board": one_board,
    "treatments": treatments,
    "few_blades": few_blades,
}


def shop(kind, seed):
    """The shop of this kind and seed."""
    rng = np.random.default_rng([seed, sorted(KINDS).index(kind), 1])
    return KINDS[kind](rng, plain(rng, kind, seed))
