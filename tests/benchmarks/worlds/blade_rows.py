"""Rows that a maker types of found steel, and what may be expected of the answer.

Every size here is invented; that a blade's edge stands, rolls, chips or breaks as it is told is
common practice, no source.
"""

from dataclasses import dataclass

ASIDE = {"coating": "none", "lead": "no", "closed_hollow": "no", "loaded_spring": "no"}
LOOKED = {"magnet": "strong", "sparks": "between", "stream": "bright forked", "forging": "moves"}
KNOWN = ("known", {"known_low": "mild bar", "known_high": "an old file"})
FILES = ("known", {"files_hrc": "40 45 50 55 60 65"})

# What may be expected: kind and value.
ORDER = ("order_free",)
TWICE = ("twice_free",)
NOT_REUSE = ("action_not", ("reuse",))
NOT_LEFT = ("action_not", ("leave", "buy_known", "laboratory"))
GOOD = ("action", ("reuse", "reuse_trial"))
NAMED = ("says", "blade1")


@dataclass(frozen=True)
class Expected:
    """One thing an honest smith holds of the answer; `unfair` says why it was dropped."""

    kind: str
    value: object = None
    unfair: str = ""


@dataclass(frozen=True)
class History:
    """What was typed, in its order, and what follows from it; `told` is the story in words."""

    name: str
    told: str
    rows: tuple
    expected: tuple
    piece: str | None = None
    use: str = "hedging tool"


def history(name, told, rows, *expected, piece=None, use="hedging tool"):
    """A history from its rows and its expectations, each (kind, value) or (kind,)."""
    held = tuple(one if isinstance(one, Expected) else Expected(*one) for one in expected)
    return History(name, told, tuple(rows), held, piece, use)


def piece(name="disc A", **more):
    """A plough disc that was looked at: no coating, no lead, magnetic, sparks between."""
    seen = {"origin": "plough disc", **ASIDE, **LOOKED, "makes_blades": 12, "thickness_mm": 6}
    return ("pieces", {"id": name, **seen, **more})


def heat(name="blade1", of="disc A", number=1, **more):
    """A quench in oil from a fair heat that files find hard below the skin."""
    done = {"medium": "oil", "heat_c": 830, "magnet": "lets go", "soak_min": 5, "section_mm": 6}
    cells = {"piece": of, "coupon": name, "heat": number, **done, "hardness_below": "60-65"}
    return ("heats", {**cells, **more})


def temper(temperature_c=220, hardness="55-60", name="blade1", of="disc A", number=1, **more):
    """A temper of one hour, twice, meant for the tool, and what files said after it."""
    cells = {"piece": of, "coupon": name, "heat": number, "temperature_c": temperature_c}
    done = {"time_min": 60, "repeats": 2, "hardness_below": hardness, "for_use": "yes"}
    return ("tempers", {**cells, **done, **more})


def made(name="blade1", of="disc A", temperature_c=220, hardness="55-60", number=1, **more):
    """A blade hardened and tempered."""
    return (
        heat(name, of, number, **more),
        temper(temperature_c, hardness, name, of, number),
    )


def tried(edge, result="same", day=1, name="blade1", of="disc A", number=1, **more):
    """A blade chopped with beside a known one, on a day of October."""
    cells = {"piece": of, "coupon": name, "heat": number, "test": "chop", "result": result}
    seen = {"edge": edge, "beside": "the shop's old hatchet", "day": f"2026-10-{day:02d}"}
    return ("trials", {**cells, **seen, **more})


def coupon(name="A1", of="disc A", rod="sound"):
    """A coupon that hardened fine, was tempered in steps and pressed over a brass rod."""
    rows = (
        heat(name, of, grain="fine", fracture="snapped clean"),
        temper(220, "55-60", name, of),
    )
    pressed = {"piece": of, "coupon": name, "heat": 1, "test": "brass rod", "edge": rod}
    return (*rows, ("trials", pressed)) if rod else rows


def without(row, *keys):
    """A row with some of its cells left out."""
    table, cells = row
    return (table, {key: value for key, value in cells.items() if key not in keys})


READY = (KNOWN, FILES, piece(), *coupon())
