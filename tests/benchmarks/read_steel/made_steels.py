"""What did an invented shop see of its found steel, and what did it leave out? From a seed."""

import random
from dataclasses import dataclass, field
from pathlib import Path

from tests.benchmarks.chop_worlds.answers import run
from tests.benchmarks.read_documents import maker_words as words
from tests.benchmarks.read_documents.study_files import quoted

# The words of the guide's chapter "Mystery steel", copied by hand.
ORIGINS = (
    "plough disc", "harrow tine", "leaf spring", "coil spring", "file or rasp", "saw blade",
    "axle or shaft", "hand tool", "rebar", "old wrought", "casting", "wear plate", "unknown",
)  # fmt: skip
SPARKS = ("fewer than low", "like low", "between", "like high", "more than high")
HARD = ('"<40"', '"60-65"', '">65"', "63", '"skates all"', '"bites all"')
MEDIA = ("air", "oil", "warm water", "water", "brine", "unknown")
COLOURS = ("dull red", "cherry", "bright cherry", "orange")
BREAKS = ("snapped clean", "bent then broke", "did not break", "fibrous", "grey crumbly")
FILES = (40, 45, 50, 55, 60, 65)


@dataclass
class MadeSteel:
    """All that was seen and typed: rows of key -> text or Typed, a key missing where unnoted."""

    number: int
    head: dict = field(default_factory=dict)
    verdict: dict = field(default_factory=dict)
    document: dict = field(default_factory=dict)
    evidence: dict = field(default_factory=dict)
    pieces: list = field(default_factory=list)
    heats: list = field(default_factory=list)
    tempers: list = field(default_factory=list)
    trials: list = field(default_factory=list)
    by_command: bool = False


def made(number):
    """The study of seed `number`."""
    draw = random.Random(20_000 + number)
    script = draw.choice([each for each in words.SCRIPTS if each != "cjk"])
    steel = MadeSteel(number, {"title": words.TITLES[script]})
    steel.by_command = draw.random() < 0.3
    if draw.random() < 0.6:
        steel.head["maker"] = words.MAKERS[script]
    if draw.random() < 0.5:
        steel.document["units"] = draw.choice(["metric", "inch", "both"])
    if draw.random() < 0.8:
        steel.verdict["use"] = draw.choice(["chopper", "hedging tool", "knife", "chisel"])
    if draw.random() < 0.3:
        steel.verdict["hardness_hrc"] = draw.choice(["57-62", "52-56"])
    letters = words.SCRIPTS[script][0]
    for i in range(draw.choices([1, 2, 3], [6, 3, 1])[0]):
        _piece(steel, draw, f"{letters[i]}{i + 1}", alone=i == 0)
    if draw.random() < 0.7:
        steel.evidence["known_low"] = "mild bar, 0.18 % by certificate"
        steel.evidence["known_high"] = "an old file"
    steel.evidence["files_hrc"] = list(FILES)
    return steel


def _some(draw, chance, key, choices):
    """A key with one of its words, or nothing."""
    return {key: draw.choice(choices)} if draw.random() < chance else {}


def _piece(steel, draw, name, *, alone):
    piece = {"id": name} | _some(draw, 0.9, "origin", ORIGINS)
    piece |= _some(draw, 0.5, "form", ("plain disc", "bar end, rusty"))
    piece |= _some(draw, 0.4, "source", ("farm sale", "neighbour's barn"))
    if draw.random() < 0.7:
        piece["thickness_mm"] = words.length(draw, draw.choice([4, 6, 8, 12]))
    piece |= _some(draw, 0.4, "makes_blades", (1, 4, 9))
    piece |= _some(draw, 0.8, "coating", ("none", "none", "removed", "painted", "galvanised"))
    piece |= _some(draw, 0.3, "lead", ("no", "suspected"))
    piece |= _some(draw, 0.8, "magnet", ("strong", "strong", "weak", "none"))
    piece |= _some(draw, 0.7, "sparks", SPARKS)
    piece |= _some(draw, 0.2, "stream", ("bright forked", "straw no forks", "short red"))
    piece |= _some(draw, 0.2, "fracture", BREAKS)
    piece |= _some(draw, 0.3, "hardness_skin", HARD[:4])
    piece |= _some(draw, 0.1, "carbon_pct", (0.42, 0.62, 0.71))
    steel.pieces.append(piece)
    for number in range(draw.choice([0, 1, 2]) if alone else draw.choice([0, 1])):
        _heat(steel, draw, name, f"K{number + 1}")
    if draw.random() < 0.25:
        trial = {"piece": name, "test": draw.choice(["rope", "chop", "brass rod", "bend"])}
        trial["result"] = draw.choice(["better", "same", "worse"])
        trial |= _some(draw, 0.6, "edge", ("sound", "rolled", "chipped"))
        steel.trials.append(trial)


def _heat(steel, draw, piece, coupon):
    heat = {"piece": piece, "coupon": coupon, "medium": draw.choice(MEDIA)}
    if draw.random() < 0.6:
        heat["heat_c"] = _celsius(draw, draw.choice([780, 800, 820, 840]))
    heat |= _some(draw, 0.4, "colour", COLOURS) | _some(draw, 0.5, "magnet", ("lets go", "holds"))
    if draw.random() < 0.5:
        heat["soak_min"] = words.minutes(draw, draw.choice([5, 8, 12]))
    if draw.random() < 0.3:
        heat["medium_c"] = _celsius(draw, draw.choice([20, 60]))
    heat |= _some(draw, 0.5, "hardness_skin", HARD) | _some(draw, 0.6, "hardness_below", HARD)
    heat |= _some(draw, 0.5, "grain", ("fine", "medium", "coarse"))
    heat |= _some(draw, 0.5, "fracture", BREAKS)
    if draw.random() < 0.3:
        heat |= {"count": 3, "cracked": draw.choice([0, 1])}
    steel.heats.append(heat)
    for _ in range(draw.choice([0, 0, 1, 2])):
        temper = {"piece": piece, "coupon": coupon}
        temper["temperature_c"] = _celsius(draw, draw.choice([180, 200, 230]))
        if draw.random() < 0.6:
            temper["time_min"] = words.minutes(draw, draw.choice([60, 90]))
        temper |= _some(draw, 0.4, "repeats", (2, 3)) | _some(draw, 0.5, "hardness", HARD[:4])
        steel.tempers.append(temper)


def _celsius(draw, near):
    """A temperature under a key that ends in _c: as a number, or with its unit."""
    while True:
        key, typed = words.temperature(draw, near)
        if key == "temperature_c":
            return typed


TABLES = ("pieces", "heats", "tempers", "trials")


def write(steel, folder):
    """The study's folder, by editor or the evidence row by row with `edgetest enter`."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    lines = [_line(*pair) for pair in steel.head.items()]
    for name in ("verdict", "document", "evidence"):
        lines += ["", f"[{name}]", *(_line(*pair) for pair in getattr(steel, name).items())]
    if not steel.by_command:
        for table in TABLES:
            for row in getattr(steel, table):
                lines += ["", f"[[evidence.{table}]]", *(_line(*pair) for pair in row.items())]
    (folder / "study.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for table in TABLES if steel.by_command else ():
        for row in getattr(steel, table):
            cells = [f"{key}={_cell(value)}" for key, value in row.items()]
            code, out, err = run(["enter", str(folder), "--evidence", table, *cells])
            if code:
                raise RuntimeError(f"steel {steel.number}, enter {table} {cells}: {err or out}")


def _line(key, value):
    raw = key.startswith("hardness") and key != "hardness_hrc"
    return f"{key} = {value if raw else quoted(value)}"


def _cell(value):
    """A value as it is typed at the command."""
    text = value.toml if isinstance(value, words.Typed) else str(value)
    return text.strip('"')
