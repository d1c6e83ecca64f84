"""Studies of blades ground alike or not, worn by the laws of `wedge`, with the truth behind them.

The seed gives the law in turn, so that a cell has all four in equal shares. Everything else is
drawn: fresh edge 1 to 2.5 µm, limit 9 to 15 µm, 3 to 5 blades a side, scatter of life 5 to 15 %,
readings of 2 to 5 %, two or three stations. Nothing here knows how the judged program reasons.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np

from tests.benchmarks.worlds import wedge

NAMES = ("temper_180", "temper_210", "temper_240")
ANGLES_DEG, THICKNESSES_MM = (12.0, 22.0), (0.2, 0.8)


@dataclass(frozen=True)
class GrindCell:
    """What a cell fixes.

    Parameters
    ----------
    steels
        True ratios of the steels' lives at one grind, of the second and later over the first.
    apart
        Range (least, most) of degrees a side by which the later treatment is ground apart from
        the first, one for each ratio; (0, 0) is the same grind.
    favour
        "with" (the grind lengthens what the steel lengthens), "against", or "" for either.
    noted
        "blade" (each blade's own angle and thickness), "nominal" (what the maker meant, to a
        degree), "angle" (no thickness), "uncertain" (to 1.5° and 0.1 mm), "none".
    behind
        Whether the thickness behind the edge goes with the angle, as on one blade reground.
    mixed
        Whether blades of both grinds stand in each treatment.
    """

    steels: tuple[float, ...] = (1.0,)
    apart: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    favour: str = ""
    noted: str = "blade"
    behind: bool = True
    mixed: bool = False


SAME, WIDE, SMALL = ((0.0, 0.0),), ((4.0, 8.0),), ((1.5, 3.0),)

CELLS = {
    "same grind, steels alike": GrindCell(),
    "same grind, steel 1.3": GrindCell(steels=(1.3,)),
    "same grind, steel 1.5": GrindCell(steels=(1.5,)),
    "same grind, steel 1.5, nominal angles": GrindCell(steels=(1.5,), noted="nominal"),
    "same grind, steel 1.5, angles to 1.5°": GrindCell(steels=(1.5,), noted="uncertain"),
    "same grind, steel 1.5, not noted": GrindCell(steels=(1.5,), noted="none"),
    "both grinds in each, steel 1.5": GrindCell(steels=(1.5,), apart=WIDE, mixed=True),
    "4 to 8° apart, steels alike": GrindCell(apart=WIDE),
    "4 to 8° apart, steels alike, same thickness": GrindCell(apart=WIDE, behind=False),
    "4 to 8° apart, steels alike, angles alone": GrindCell(apart=WIDE, noted="angle"),
    "4 to 8° apart, steels alike, nominal angles": GrindCell(apart=WIDE, noted="nominal"),
    "4 to 8° apart, steels alike, angles to 1.5°": GrindCell(apart=WIDE, noted="uncertain"),
    "4 to 8° apart, steels alike, not noted": GrindCell(apart=WIDE, noted="none"),
    "1.5 to 3° apart, steels alike": GrindCell(apart=SMALL),
    "4 to 8° apart with steel 1.3": GrindCell((1.3,), WIDE, "with"),
    "4 to 8° apart against steel 1.3": GrindCell((1.3,), WIDE, "against"),
    "4 to 8° apart with steel 1.5": GrindCell((1.5,), WIDE, "with"),
    "4 to 8° apart against steel 1.5": GrindCell((1.5,), WIDE, "against"),
    "three, steels alike, third ground apart": GrindCell((1.0, 1.0), (*SAME, *WIDE)),
    "three, second 1.5, third ground apart": GrindCell((1.5, 1.0), (*SAME, *WIDE)),
    "three, third 1.5, same grind": GrindCell((1.0, 1.5), (*SAME, *SAME)),
}


@dataclass(frozen=True)
class GroundBlade:
    """A blade as the maker notes it; None where nobody noted it."""

    name: str
    treatment: str
    angle_deg: float | None
    angle_u_deg: float | None
    thickness_mm: float | None
    thickness_u_mm: float | None


@dataclass(frozen=True)
class GroundStudy:
    """What was noted, and what is true of it.

    `rows` are (blade, cuts, station in mm, width in µm). `true_steel` is the ratio of lives at
    one grind by (later, earlier) treatment, `true_as_ground` that of blades as they were ground.
    """

    law: str
    limit_um: float
    blades: tuple[GroundBlade, ...]
    rows: tuple[tuple[str, int, int, float], ...]
    true_steel: dict[tuple[str, str], float]
    true_as_ground: dict[tuple[str, str], float]


@dataclass(frozen=True)
class _Bench:
    """What the blades of one study share."""

    rate: wedge.Rate
    limit_um: float
    fresh_um: float
    steel: float
    scatter: float
    reading: float
    stations: int


def law_of(seed):
    """The law by which a study's edges wear: each in its turn, of even seeds and of odd ones."""
    return list(wedge.LAWS)[seed // 2 % len(wedge.LAWS)]


def ground_study(name, seed):
    """The study of a cell and a seed."""
    cell = CELLS[name]
    rng = np.random.default_rng([zlib.crc32(name.encode()), seed])
    law = law_of(seed)
    rate = wedge.LAWS[law](rng)
    limit, fresh = float(np.round(rng.uniform(9, 15))), rng.uniform(1.0, 2.5)
    middle = wedge.Grind(wedge.ANGLE_DEG, wedge.THICKNESS_MM)
    steel = rng.uniform(100, 600) / wedge.life(1.0, fresh, limit, middle, rate)
    scatter, reading = rng.uniform(0.05, 0.15), rng.uniform(0.02, 0.05)
    bench = _Bench(rate, limit, fresh, steel, scatter, reading, int(rng.integers(2, 4)))
    steels = np.array([1.0, *cell.steels])
    grinds = _grinds(rng, cell, bench)
    blades, rows = _blades(rng, cell, bench, steels, grinds)
    lives = [
        factor * wedge.life(steel, fresh, limit, grind, rate)
        for factor, grind in zip(steels, grinds, strict=True)
    ]
    pairs = [(i, j) for i in range(len(steels)) for j in range(i)]
    return GroundStudy(
        law,
        limit,
        tuple(blades),
        tuple(rows),
        {(NAMES[i], NAMES[j]): float(steels[i] / steels[j]) for i, j in pairs},
        {(NAMES[i], NAMES[j]): lives[i] / lives[j] for i, j in pairs},
    )


def _grinds(rng, cell, bench):
    """The grind that the maker gave each treatment."""
    while True:
        angle, thickness = rng.uniform(*ANGLES_DEG), rng.uniform(*THICKNESSES_MM)
        grinds = [wedge.Grind(angle, thickness)]
        for least, most in cell.apart:
            d = rng.uniform(least, most) * rng.choice([-1.0, 1.0])
            more = d * rng.uniform(0.02, 0.06) if cell.behind else 0.0
            grinds.append(wedge.Grind(angle + d, thickness + more))
        if _allowed(cell, bench, grinds):
            return grinds


def _allowed(cell, bench, grinds):
    """Whether the grinds can be made and favour whom they should."""
    for one in grinds:
        if not ANGLES_DEG[0] <= one.angle_deg <= ANGLES_DEG[1]:
            return False
        if not THICKNESSES_MM[0] <= one.thickness_mm <= THICKNESSES_MM[1]:
            return False
    if not cell.favour:
        return True
    first, last = (
        wedge.life(1.0, bench.fresh_um, bench.limit_um, one, bench.rate)
        for one in (grinds[0], grinds[-1])
    )
    return (last > first) == (cell.favour == "with")


def _blades(rng, cell, bench, steels, grinds):
    """The blades as noted and their readings; all start on the same stages."""
    count = int(rng.integers(3, 6))
    made = []
    for k, factor in enumerate(steels):
        for i in range(count):
            meant = grinds[i % 2] if cell.mixed else grinds[k]
            true = wedge.Grind(
                meant.angle_deg + 0.4 * rng.standard_normal(),
                max(meant.thickness_mm + 0.02 * rng.standard_normal(), 0.1),
            )
            steel = bench.steel * factor * np.exp(bench.scatter * rng.standard_normal())
            fresh = bench.fresh_um * np.exp(0.1 * rng.standard_normal())
            made.append((f"{'ABD'[k]}{i + 1}", NAMES[k], meant, true, steel, fresh))
    lives = [wedge.life(s, f, bench.limit_um, g, bench.rate) for *_, g, s, f in made]
    stages = stages_chosen(rng, 1.3 * np.median(lives), 1.1 * max(lives))
    rows = []
    for name, _, _, true, steel, fresh in made:
        rows += _readings(rng, bench, stages, name, (steel, fresh, true))
    return [_noted(rng, cell, *one[:4]) for one in made], rows


def stages_chosen(rng, middle, last):
    """Cumulative cuts of the stages as a bench would choose them, whole fives."""
    count = int(rng.integers(5, 8))
    if rng.random() < 0.5:
        steps = last / 2.0 ** np.arange(count - 1, -1, -1)
    else:
        steps = np.append(middle * np.arange(1, count) / (count - 1), last)
    return np.unique(np.concatenate([[0], np.maximum(np.round(steps / 5) * 5, 5)])).astype(int)


def _readings(rng, bench, stages, name, blade):
    """Widths of a blade until a stage at which it reads 1.2 times the limit or more."""
    steel, fresh, true = blade
    widths = wedge.width_after(stages, steel, fresh, bench.limit_um, true, bench.rate)
    places = np.exp(0.02 * rng.standard_normal(bench.stations))
    rows = []
    for cuts, width in zip(stages, widths, strict=True):
        read = width * places * np.exp(0.015 * rng.standard_normal())
        read = read * np.exp(bench.reading * rng.standard_normal(bench.stations))
        rows += [(name, int(cuts), 20 * (i + 1), round(float(x), 2)) for i, x in enumerate(read)]
        if read.mean() >= 1.2 * bench.limit_um:
            break
    return rows


def _noted(rng, cell, name, treatment, meant, true):
    """The blade as the maker would write it into the study."""
    if cell.noted == "none":
        return GroundBlade(name, treatment, None, None, None, None)
    if cell.noted == "nominal":
        angle, thickness = round(meant.angle_deg), round(meant.thickness_mm, 1)
        return GroundBlade(name, treatment, float(angle), None, thickness, None)
    u, v = (1.5, 0.1) if cell.noted == "uncertain" else (0.5, 0.02)
    angle = round(true.angle_deg + u * rng.standard_normal(), 1)
    thickness = round(max(true.thickness_mm + v * rng.standard_normal(), 0.05), 2)
    if cell.noted == "angle":
        return GroundBlade(name, treatment, angle, u, None, None)
    return GroundBlade(name, treatment, angle, u, thickness, v)
