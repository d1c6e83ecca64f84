"""How hard does the quench leave it? Hardenability, martensite, retained austenite, cracks."""

import math
from bisect import bisect_right
from dataclasses import dataclass

from tests.benchmarks.steel_worlds.austenite import austenite

# Grossmann severity of quench H, 1/inch; still bath or a little movement (textbook table, from
# memory: air 0.02, oil 0.25 to 0.4, water 0.9 to 1.3, brine 2). Warm water: common practice.
SEVERITY = {"air": 0.017, "oil": 0.32, "warm_water": 0.65, "water": 1.0, "brine": 2.0}
BATH_C = {"air": 20.0, "oil": 60.0, "warm_water": 50.0, "water": 20.0, "brine": 20.0}
# D² + D·k/H = DI² fits the Grossmann chart at DI 2 inches (H 0.4: 1.0; 1: 1.5; 2: 1.7), from memory
CHART_K_INCH = 1.2
ROUND_OF_PLATE = 1.4  # a plate cools as a bar of 1.4 times its thickness, from memory
NEAR_SURFACE = 0.75  # where a file reads the plate has cooled as a thinner one; no source
STEEPNESS = 6.0  # 90 % martensite at 0.7 of the critical diameter, from memory
MM_PER_INCH = 25.4
KOISTINEN = 0.011  # Koistinen and Marburger 1959
FERRITE_HV = 130.0
AUSTENITE_HV = 230.0
BORON_FACTOR = 1.8  # on the ideal diameter of 0.3 % C steel, from memory
# Vickers against Rockwell C, ASTM E140 from memory; below 20 HRC stretched, no standard.
HV = (
    100,
    150,
    190,
    212,
    238,
    266,
    302,
    345,
    392,
    446,
    513,
    595,
    697,
    746,
    800,
    832,
    865,
    900,
    1000,
)
HRC = (-15, -2, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 62, 64, 65, 66, 67, 69.5)


@dataclass(frozen=True, slots=True)
class Hardened:
    """What stands after the quench, at the place looked at."""

    hv: float
    hrc: float
    martensite: float  # share of all, retained austenite not counted
    retained: float
    carbon: float
    carbides_pct: float
    grain_um: float
    ideal_inch: float


def between(x, xs, ys):
    """Straight lines through a table, held at its ends."""
    if x <= xs[0]:
        return float(ys[0])
    if x >= xs[-1]:
        return float(ys[-1])
    i = bisect_right(xs, x)
    return ys[i - 1] + (ys[i] - ys[i - 1]) * (x - xs[i - 1]) / (xs[i] - xs[i - 1])


def hrc_of(hv):
    """Rockwell C of a Vickers hardness."""
    return between(hv, HV, HRC)


def hv_of(hrc):
    """Vickers hardness of a Rockwell C."""
    return between(hrc, HRC, HV)


def martensite_hrc(c):
    """Hardness of martensite without retained austenite (ASTM A255 to 0.65 % C, from memory)."""
    x = min(max(c, 0.0), 0.65)
    hrc = (
        35.395 + 6.990 * x + 312.330 * x**2 - 821.744 * x**3 + 1015.479 * x**4 - 538.346 * x**5
    )  # fmt: skip
    return hrc + 6.0 * max(0.0, min(c, 1.0) - 0.65)


def ideal_diameter_inch(steel, c, grain_um):
    """Ideal critical diameter, inch (Grossmann 1942; factors of ASTM A255, from memory)."""
    x = min(c, 0.9)
    if x <= 0.39:
        base = 0.54 * x
    elif x <= 0.55:
        base = 0.171 + 0.001 * x + 0.265 * x * x
    elif x <= 0.65:
        base = 0.115 + 0.268 * x - 0.038 * x * x
    elif x <= 0.75:
        base = 0.143 + 0.2 * x
    else:
        base = 0.062 + 0.409 * x - 0.135 * x * x
    mn = 3.3333 * steel.mn + 1 if steel.mn <= 1.2 else 5.1 * min(steel.mn, 2.0) - 1.12
    free_cr = steel.cr if steel.cr < 2.5 else 2.5 + 0.5 * (min(steel.cr, 13) - 2.5)
    base *= mn * (1 + 0.7 * min(steel.si, 2.0)) * (1 + 2.16 * free_cr)
    base *= (1 + 0.363 * min(steel.ni, 4)) * (1 + 3.0 * min(steel.mo, 1.2))
    base *= (1 + 1.73 * min(steel.v, 0.2)) * (1 + min(steel.w, 2) * 0.5)
    return base * (BORON_FACTOR if steel.boron else 1.0) * (max(grain_um, 5) / 31) ** 0.28


def martensite_share(ideal_inch, severity, section_mm):
    """Share that misses the nose, for a plate of `section_mm` near its surface."""
    k = CHART_K_INCH / severity
    critical = (-k + math.sqrt(k * k + 4 * ideal_inch**2)) / 2
    if critical <= 0:
        return 0.0
    ratio = section_mm / MM_PER_INCH * ROUND_OF_PLATE * NEAR_SURFACE / critical
    return 1 / (1 + ratio**STEEPNESS) if ratio < 20 else 0.0


def martensite_start_c(steel, c):
    """Ms, °C (Andrews 1965, linear form, from memory), of what is dissolved."""
    dissolved_cr = steel.cr if steel.cr < 2 else 2 + 0.45 * (steel.cr - 2)
    return (
        539 - 423 * c - 30.4 * steel.mn - 17.7 * steel.ni - 12.1 * dissolved_cr
        - 7.5 * min(steel.mo, 2)
    )  # fmt: skip


def retained_share(steel, c, bath_c):
    """Austenite left (Koistinen and Marburger 1959); a warm bath leaves a little more."""
    start = martensite_start_c(steel, c)
    return min(1.0, math.exp(-KOISTINEN * max(0.0, start - (20 + 0.3 * (bath_c - 20)))))


def _no_steel(steel, c, grain):
    """Bodies that no quench of a forge changes much; figures from memory."""
    hrc = {"grey": 22.0, "white": 52.0, "ferritic": 2.0, "austenitic": 8.0, "maraging": 31.0}
    at = hrc[steel.body]
    return Hardened(hv_of(at), at, 0.0, 0.0, c, 15 * min(c, 3), grain, 0.0)


def hardened(steel, c, heat, section_mm, grain):
    """Quench from a heat (t_c, soak_min, severity, bath_c), with `c` % carbon where it is read."""
    if steel.body in ("grey", "white", "ferritic", "austenitic", "maraging"):
        return _no_steel(steel, c, grain)
    t_c, soak_min, severity, bath_c = heat
    before = austenite(steel, c, t_c, soak_min, grain)
    if before.share <= 0:
        hv = 150 + 70 * min(c, 1.2) + 12 * min(steel.cr, 6)
        return Hardened(hv, hrc_of(hv), 0, 0, 0, before.carbides_pct, before.grain_um, 0)
    ideal = ideal_diameter_inch(steel, before.carbon, before.grain_um)
    missed = martensite_share(ideal, severity, section_mm)
    retained = retained_share(steel, before.carbon, bath_c)
    hard = hv_of(martensite_hrc(before.carbon)) + 1.5 * min(before.carbides_pct, 15)
    # Pearlite or bainite: finer, so harder, the faster it cooled and the more alloy it holds.
    other = 150 + 220 * min(before.carbon, 0.85)
    other = other * (1 + 0.045 * math.log(severity / 0.017)) + 40 * min(ideal / 3, 1.5)
    other = min(other, 0.9 * hard)
    quenched = missed * ((1 - retained) * hard + retained * AUSTENITE_HV) + (1 - missed) * other
    hv = before.share * quenched + (1 - before.share) * FERRITE_HV
    if steel.body == "sintered":
        hv *= 0.8  # pores give way under the point, from memory
    return Hardened(
        hv, hrc_of(hv), before.share * missed * (1 - retained), before.share * missed * retained,
        before.carbon, before.carbides_pct, before.grain_um, ideal,
    )  # fmt: skip


# Log-odds of a crack; common practice, no source: 1 % C in water about one in ten, spring steel
# in water one in four, plain 0.75 % in oil one in three hundred, 0.45 % in water one in fifty.
CRACK_AT_ZERO = -7.3
CRACK_BY_CARBON = 3.0
CRACK_BY_DEPTH = 0.9  # by the ideal diameter in inches, up to 4, where water is the bath
CRACK_BY_GRAIN = 1.2


def crack_chance(state, severity, section_mm):
    """Chance that a sound coupon or blade cracks in the quench."""
    if state.martensite < 0.2:
        return 0.0005
    odds = (
        CRACK_AT_ZERO
        + CRACK_BY_CARBON * min(state.carbon, 1.0)
        + 1.0 * max(-2.0, math.log(severity / 0.32))
    )
    if severity > 0.5:
        odds += 0.9 + CRACK_BY_DEPTH * min(state.ideal_inch, 4.0) * min(1.0, severity)
    odds += CRACK_BY_GRAIN * max(0.0, math.log(state.grain_um / 30)) + 0.03 * (section_mm - 6)
    return 1 / (1 + math.exp(-odds))
