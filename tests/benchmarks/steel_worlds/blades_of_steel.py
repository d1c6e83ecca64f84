"""Is a piece truly fit for the use? Its best proper heat treatment, its edge and its toughness."""

import math
from dataclasses import dataclass
from functools import cache

from tests.benchmarks.steel_worlds.austenite import FINEST_UM, ac1
from tests.benchmarks.steel_worlds.hardening import BATH_C, SEVERITY, crack_chance, hardened
from tests.benchmarks.steel_worlds.softening import tempered_hrc


@dataclass(frozen=True, slots=True)
class Use:
    """What a use asks for."""

    low_hrc: float
    high_hrc: float
    aim_hrc: float
    edge_mm: float  # thickness at the edge when it is quenched
    struck: bool


# Bands as the description of the worlds gives them; thickness: common practice, no source.
USES = {
    "chopper": Use(54, 59, 57, 3.0, True),
    "hedging_tool": Use(52, 58, 55.5, 2.5, True),
    "knife": Use(57, 63, 60, 2.0, False),
    "chisel": Use(57, 63, 60, 3.5, False),
}
LEAST_LIFE = 0.8  # of the known blade, as the chance that is judged has it
MOST_CRACKS = 0.1  # a way that cracks more than one in ten is not proper; no source
HOTTEST_FORGE_C = 950.0
STEP_C = 15.0
SOAK_MIN = 10.0  # evenly at heat in a small forge, common practice, no source
CYCLES = 2
PROPER_MEDIA = ("air", "oil", "warm_water")
TEMPERS_C = (150, 170, 190, 210, 230, 250, 275, 300, 350, 400, 450, 500, 530, 560)
TEMPER_HOURS = 2.0
# Most carbides (% volume) and coarsest grain (µm) that bear the use; common practice, no source.
CARBIDES_STRUCK, CARBIDES_SLICING = 10.0, 25.0
GRAIN_STRUCK, GRAIN_SLICING = 40.0, 70.0
BRITTLE = ("white", "grey", "sintered")
# Edge life: log of the ratio to the known blade; common practice, no source. One HRC is worth a
# twentieth, soft steel loses faster, free carbides lengthen it, pearlite and ferrite shorten it.
LIFE_PER_HRC = 0.055
SOFT_BELOW_HRC = 52.0
SOFT_PER_HRC = 0.05
LIFE_PER_CARBIDE = 0.02
KNOWN_CARBIDE_PCT = 2.0
LIFE_PEARLITE = 1.0
LIFE_RETAINED = 0.6
LIFE_GRAIN = 0.3
LIFE_CHIPS = 0.45


def brittle(use, steel, state, hrc):
    """Whether the edge chips or the blade breaks in the use."""
    need = USES[use]
    if steel.body in BRITTLE:
        return True
    carbides = CARBIDES_STRUCK if need.struck else CARBIDES_SLICING
    grain = GRAIN_STRUCK if need.struck else GRAIN_SLICING
    too_hard = need.high_hrc + (2.5 if need.struck else 3.5)
    return state.carbides_pct > carbides or state.grain_um > grain or hrc > too_hard


def life_log(use, piece, state, hrc):
    """Log of the edge life over that of the known blade (of the use's aim, sound, 2 % carbides)."""
    soft = max(0.0, 1 - state.martensite - state.retained)
    return (
        LIFE_PER_HRC * (hrc - USES[use].aim_hrc)
        - SOFT_PER_HRC * max(0.0, SOFT_BELOW_HRC - hrc)
        + LIFE_PER_CARBIDE * (min(state.carbides_pct, 14.0) - KNOWN_CARBIDE_PCT)
        - LIFE_PEARLITE * soft
        - LIFE_RETAINED * max(0.0, state.retained - 0.15)
        - LIFE_GRAIN * max(0.0, math.log(state.grain_um / 40))
        - (LIFE_CHIPS if brittle(use, piece.steel, state, hrc) else 0.0)
        + piece.wear_log
    )


@dataclass(frozen=True, slots=True)
class Fitness:
    """Whether a proper blade serves, how it is made, and else why not."""

    fit: bool
    why_not: str = ""
    medium: str = ""
    heat_c: float = 0.0
    temper_c: float = 0.0
    hrc: float = 0.0
    life: float = 0.0  # median of its blades over the known one; 0 where none is sound
    hardest_hrc: float = 0.0  # the hardest that any proper quench gives


@cache
def _grain_at_start():
    grain = 60.0
    for _ in range(CYCLES):
        grain = max(FINEST_UM, math.sqrt(grain * FINEST_UM))
    return grain


def _tried(use, piece, medium, temperatures):
    """The states of one medium, and what temper brings each nearest to the aim."""
    need, steel = USES[use], piece.steel
    for t_c in temperatures:
        heat = (t_c, SOAK_MIN, SEVERITY[medium], BATH_C[medium])
        state = hardened(steel, steel.c, heat, need.edge_mm, _grain_at_start())
        if state.hrc < need.low_hrc - 2 and steel.body != "maraging":
            yield t_c, state, 0.0, state.hrc
            continue
        best = (math.inf, 0.0, 0.0)
        for temper_c in TEMPERS_C:
            hrc = tempered_hrc(steel, state, temper_c, TEMPER_HOURS)
            best = min(best, (abs(hrc - need.aim_hrc), temper_c, hrc))
        yield t_c, state, best[1], best[2]


def _judged(use, piece, medium, tried):
    """Why this heat makes no sound blade, or '' where it does; and the life of its edge."""
    _, state, _, hrc = tried
    need = USES[use]
    if not need.low_hrc <= hrc <= need.high_hrc:
        return ("too soft" if hrc < need.low_hrc else "too hard"), 0.0
    if crack_chance(state, SEVERITY[medium], need.edge_mm) > MOST_CRACKS:
        return "cracks", 0.0
    if brittle(use, piece.steel, state, hrc):
        return "brittle", 0.0
    return "", math.exp(life_log(use, piece, state, hrc))


# A reason nearer to success is told before one farther from it.
NEARNESS = ("brittle", "cracks", "too hard", "too soft")


def fitness(use, piece):
    """The truth: does a blade of this piece, ground clear of its skin and treated properly, serve?

    Proper: air, oil or warm water, at most 950 °C, even heat for 10 min after two normalising
    cycles, a temper of 150 to 560 °C. It has to work over three heats 15 °C apart, since a forge
    is not held closer.
    """
    first = max(740.0, math.ceil((ac1(piece.steel) + 5) / STEP_C) * STEP_C)
    temperatures = []
    while first <= HOTTEST_FORGE_C:
        temperatures.append(first)
        first += STEP_C
    reasons, hardest, best = set(), 0.0, (0.0, "", 0.0, 0.0, 0.0)
    for medium in PROPER_MEDIA:
        rows = list(_tried(use, piece, medium, temperatures))
        found = [_judged(use, piece, medium, row) for row in rows]
        hardest = max([hardest, *(row[1].hrc for row in rows)])
        reasons |= {why for why, _ in found if why}
        for i in range(1, len(rows) - 1):
            near = found[i - 1 : i + 2]
            if not any(why for why, _ in near):
                t_c, _, temper_c, hrc = rows[i]
                best = max(best, (min(life for _, life in near), medium, t_c, temper_c, hrc))
    life, *way = best
    if life:
        why = "" if life >= LEAST_LIFE else "short life"
        return Fitness(life >= LEAST_LIFE, why, *way, life, hardest)
    why = next((word for word in NEARNESS if word in reasons), "too soft")
    return Fitness(False, why, hardest_hrc=hardest)
