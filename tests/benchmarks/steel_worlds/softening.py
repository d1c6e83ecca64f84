"""How hard is it after the temper? Hollomon and Jaffe's parameter, alloy and secondary hardness."""

import math

from tests.benchmarks.steel_worlds.hardening import AUSTENITE_HV, between, hrc_of

# What is left of the hardness above soft steel, by P = T(20 + log10 t)/1000 (Hollomon and Jaffe
# 1945). Held against tempering tables from memory, 1 h at 205, 260, 315, 425 °C: plain 0.8 to
# 0.95 % C 61, 57, 55, 46 HRC; plain 0.45 % C 53, 51, 47, 40; 0.6 % C with 0.8 % Cr 58, 55, 53, 46.
P = (6.5, 7.46, 8.46, 9.46, 10.46, 11.46, 12.46, 13.46, 14.46, 15.46, 16.46, 17.46, 18.46, 19.46)
LEFT = (1.0, 0.985, 0.96, 0.885, 0.755, 0.645, 0.535, 0.435, 0.35, 0.275, 0.21, 0.15, 0.08, 0.04)
SOFT_HV = 145.0
SOFT_HV_PER_C = 70.0
SECONDARY_AT_C = 530.0
SECONDARY_WIDE_C = 55.0
HIGH_ALLOY_CR = 2.9


def parameter(t_c, hours):
    """Hollomon and Jaffe's parameter in thousands, hours and kelvin, C = 20."""
    return (t_c + 273.15) * (20 + math.log10(max(hours, 0.02))) / 1000


def alloy_hv(steel, p):
    """What alloy holds back, HV (Grange, Hribal and Porter 1977, rounded, from memory)."""
    high = min(1.0, max(0.0, (p - 11.5) / 3))
    middle = max(0.0, 1 - abs(p - 12) / 3.5)
    return (
        high * (25 * min(steel.mn, 1.5) + 35 * min(steel.cr, 2) + 90 * min(steel.mo, 0.6))
        + high * 150 * min(steel.v, 0.2)
        + middle * (45 * min(steel.si, 2.2) + 15 * min(steel.cr, 2))
    )


def tempered_hv(steel, state, t_c, hours):
    """Hardness after all tempers at `t_c` for `hours` together, HV."""
    if steel.body == "maraging":
        aged = max(0.0, 1 - abs(t_c - 485) / 60) * min(1.0, hours / 3) ** 0.3
        return state.hv + aged * 230  # ageing of 18 % nickel steel to about 52 HRC, from memory
    if steel.body in ("grey", "white", "ferritic", "austenitic"):
        return state.hv
    p = parameter(t_c, hours)
    soft = SOFT_HV + SOFT_HV_PER_C * min(state.carbon, 1.0)
    left = between(p, P, LEFT)
    hard = state.martensite + state.retained
    rest = max(0.0, 1 - hard)
    # Martensite alone softens; what is pearlite or ferrite keeps its hardness to about 550 °C.
    other = state.hv
    if hard > 0.02:
        start = (state.hv - rest * min(state.hv, 300) - state.retained * AUSTENITE_HV) / max(
            state.martensite, 0.02
        )
        start = min(max(start, soft), 950)
        martensite = min(start, soft + (start - soft) * left + alloy_hv(steel, p))
        high_alloy = steel.cr > HIGH_ALLOY_CR or steel.mo > 1
        turn = (480.0, 560.0) if high_alloy else (190.0, 290.0)
        turned = min(1.0, max(0.0, (t_c - turn[0]) / (turn[1] - turn[0])))
        kept = AUSTENITE_HV + turned * (martensite - AUSTENITE_HV)
        other = state.martensite * martensite + state.retained * kept + rest * min(state.hv, 300)
        bump = math.exp(-(((t_c - SECONDARY_AT_C) / SECONDARY_WIDE_C) ** 2))
        other += steel.secondary_hv * bump * state.martensite
    return other


def tempered_hrc(steel, state, t_c, hours):
    """Hardness after all tempers at `t_c` for `hours` together, HRC."""
    return hrc_of(tempered_hv(steel, state, t_c, hours))
