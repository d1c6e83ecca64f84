"""How hard does each steel come out of each quench? Steels as nodes of carbon and hardenability."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from edgetest.steel.martensite import as_quenched_hrc
from edgetest.steel.steel_seen import HeatSeen
from edgetest.steel.steel_tables import STEELS, SteelTables
from edgetest.steel.temper import tempering_parameter

DONE = ("right", "too_cold", "too_hot", "too_short")
_CARBON_Z, _CARBON_W = np.polynomial.hermite_e.hermegauss(5)
_CARBON_W = _CARBON_W / _CARBON_W.sum()
_DEPTH, _DEPTH_W = np.array([0.55, 1.0, 1.8]), np.array([0.3, 0.4, 0.3])  # of oil_mm; our choice
LEAST_CARBON_PCT, MOST_CARBON_PCT = 0.02, 1.4
DEPTH_POWER = 3.0  # how sharply the middle softens past the critical plate; our choice
USUAL_SECTION_MM, USUAL_MEDIUM = 5.0, "oil"  # where neither is written; common practice
PEARLITE_HRC, PEARLITE_HRC_PER_PCT = 10.0, 28.0  # fine pearlite by carbon; from memory
EUTECTOID_PCT = 0.8
CURIE_C, A1_C = 768.0, 727.0  # iron's Curie point; iron-carbon eutectoid (textbook)
ALLOYED = np.isin(STEELS, ("low_alloy_high", "air_hardening", "stainless_hardening"))
CASED = STEELS.index("surface_hardened")
TEMPER_CLASS = {
    "low_alloy_low": "low_alloy",
    "low_alloy_medium": "low_alloy",
    "low_alloy_high": "low_alloy",
    "air_hardening": "special",
    "stainless_hardening": "special",
}


@dataclass(frozen=True)
class SteelNodes:
    """Steels on a grid: which explanation, its carbon, the plate that oil hardens, its weight."""

    steel: np.ndarray  # (nodes,) index into STEELS
    carbon_pct: np.ndarray
    oil_mm: np.ndarray
    weight: np.ndarray  # within its explanation, sums to one
    full_hrc: np.ndarray  # martensite of so much carbon
    half_hrc: np.ndarray
    soft_hrc: np.ndarray  # not hardened

    def spread(self, of_steels):
        """Values by steel, on the nodes."""
        return np.asarray(of_steels)[..., self.steel]


def steel_nodes(tables: SteelTables) -> SteelNodes:
    """Gauss-Hermite nodes in carbon times three hardenabilities, for each steel."""
    mean, sd = tables.of_steels("steels", "carbon_pct"), tables.of_steels("steels", "carbon_sd_pct")
    carbon = np.clip(mean[:, None] + sd[:, None] * _CARBON_Z, LEAST_CARBON_PCT, MOST_CARBON_PCT)
    shape = (len(STEELS), _CARBON_Z.size, _DEPTH.size)
    carbon = np.broadcast_to(carbon[:, :, None], shape).ravel()
    oil_mm = tables.of_steels("steels", "oil_mm")[:, None, None] * _DEPTH
    weight = np.broadcast_to(_CARBON_W[:, None] * _DEPTH_W, shape).ravel()
    steel = np.repeat(np.arange(len(STEELS)), _CARBON_Z.size * _DEPTH.size)
    less = tables.of_steels("steels", "less_hrc")[steel]
    soft = PEARLITE_HRC + PEARLITE_HRC_PER_PCT * np.minimum(carbon, EUTECTOID_PCT) - less / 2
    return SteelNodes(
        steel,
        carbon,
        np.broadcast_to(oil_mm, shape).ravel(),
        weight,
        as_quenched_hrc(carbon, 1.0) - less,
        as_quenched_hrc(carbon, 0.5) - less,
        soft,
    )


def quenched_hrc(nodes: SteelNodes, tables: SteelTables, medium, section_mm):
    """Hardness of a right heat, shape (nodes,): martensite by plate, medium and hardenability.

    The share of martensite in the middle of a plate falls as 1/(1 + (plate/critical)^3), the
    critical plate being that of half martensite (Grossmann's definition); between the curves
    of ASTM A255 for 100 and 50 % martensite, and fine pearlite, a straight line.
    """
    medium, section_mm = medium or USUAL_MEDIUM, section_mm or USUAL_SECTION_MM
    if medium == "air":
        times = nodes.spread(tables.of_steels("steels", "air_share"))
    else:
        times = 1.0 if medium == "oil" else tables.row("quench", medium)["times_oil"]
    share = 1 / (1 + (section_mm / (nodes.oil_mm * times)) ** DEPTH_POWER)
    upper = nodes.half_hrc + (2 * share - 1) * (nodes.full_hrc - nodes.half_hrc)
    lower = nodes.soft_hrc + 2 * share * (nodes.half_hrc - nodes.soft_hrc)
    return np.where(share >= 0.5, upper, lower)


def done_hrc(nodes: SteelNodes, tables: SteelTables, full):
    """Mean and spread of the hardness by what was done, shape (done, nodes), from a right heat's.

    A section that never hardened cannot lose more: no fault of the heat takes it below the
    unhardened steel.
    """
    spread = nodes.spread(tables.of_steels("steels", "spread_hrc"))
    mean, sd = np.empty((len(DONE), full.size)), np.empty((len(DONE), full.size))
    for i, done in enumerate(DONE):
        fault = tables.row("done", done) if done != "right" else {}
        if "share_left" in fault:
            mean[i] = nodes.soft_hrc + fault["share_left"] * np.maximum(full - nodes.soft_hrc, 0)
        else:
            lost = np.minimum(fault.get("less_hrc", 0.0), np.maximum(full - nodes.soft_hrc, 0))
            mean[i] = full - lost
        sd[i] = np.hypot(spread, fault.get("spread_hrc", 0.0))
    return mean, sd


def heat_of(heat: HeatSeen, tables: SteelTables):
    """Temperature of the steel before the quench, °C, and its standard uncertainty."""
    if heat.magnet != "holds" and heat.heat_c is not None:
        at, u = heat.heat_c, tables.row("heat", "instrument")["spread_c"]
    else:
        by_eye = heat.magnet if heat.magnet == "holds" else heat.colour or heat.magnet
        row = tables.row("heat", by_eye or "not_told")
        at, u = A1_C + row["above_c"], row["spread_c"]
    return (max(at, CURIE_C) if heat.magnet == "lets_go" else at), u


def done_chances(heat: HeatSeen, tables: SteelTables):
    """Chance of what was done by steel, shape (done, steels): heat against window, and soak.

    The heat is normal about what told it; each steel's window has a spread of its own.
    """
    at, u = heat_of(heat, tables)
    u = np.hypot(u, tables.row("heat", "steels")["spread_c"])
    cold = ndtr((A1_C + tables.of_steels("steels", "hardens_above_c") - at) / u)
    hot = ndtr((at - A1_C - tables.of_steels("steels", "coarsens_above_c")) / u)
    soak = tables.row("short", _soak_row(heat.soak_min))
    short = np.where(ALLOYED, soak["alloy"], soak["plain"])
    rest = np.clip(1 - cold - hot, 1e-6, None)
    found = np.stack([rest * (1 - short), cold, hot, rest * short])
    return found / found.sum(axis=0)


def _soak_row(minutes):
    if minutes is None:
        return "not_told"
    return "under_2" if minutes < 2 else "under_5" if minutes < 5 else "from_5"


def temper_kept(tables: SteelTables, temperature_c, hours):
    """Share of the as-quenched hardness that a temper leaves, and spread in HRC; by steel.

    The tables speak of one hour; other times count by the parameter of Hollomon and Jaffe.
    """
    parameter = tempering_parameter(min(max(temperature_c, 20.0), 720.0), hours)
    kept, spread = np.empty(len(STEELS)), np.empty(len(STEELS))
    by_class = {}
    for i, steel in enumerate(STEELS):
        name = TEMPER_CLASS.get(steel, "plain")
        if name not in by_class:
            row = tables.row("temper", name)
            at = [float(word.removeprefix("at_")) for word in row if word.startswith("at_")]
            lost = [row[f"at_{c:g}"] for c in at]
            known = [tempering_parameter(20.0, 1.0), *(tempering_parameter(c, 1.0) for c in at)]
            by_class[name] = float(np.interp(parameter, known, [0.0, *lost])), row["spread_hrc"]
        lost_share, spread[i] = by_class[name]
        kept[i] = 1 - lost_share
    return kept, spread
