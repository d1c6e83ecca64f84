"""What a pack, its profile and the grind leave in doubt, with the value met."""

from edgetest.doubts import Where, doubt
from edgetest.steel.heat_schedule import PUBLISHED_C
from edgetest.steel.martensite import HIGHEST_CARBON_PCT, LOWEST_CARBON_PCT
from edgetest.steel.phase_limits import a3_c, most_austenite_pct
from edgetest.units import as_typed

# From here austenite stays in the quench, and carbides form a net; common practice, no source.
RETAINED_FROM_PCT = 0.9
CARBIDES_FROM_PCT = 1.2


def case_doubts(heats, plate, profile, edge_pct, face_pct, target_pct, laws):
    """Doubts of a case: of its heats, of the profile that came out, and of the grind."""
    ends = [pct for pct in (profile.max(), profile.min()) if not _in_table(pct)]
    met = {
        **_of_heats(heats),
        "carbon_outside_table": ends,
        "retained_austenite": [pct for pct in ends if pct > RETAINED_FROM_PCT],
        "carbide_network": [h.held_pct for h in heats if (h.held_pct or 0) > CARBIDES_FROM_PCT],
        "diffusivity_spread": [laws] if laws > 1 else [],
        "ground_to_core": [face_pct] if face_pct < target_pct else [],
        "not_through_hardened": [edge_pct] if edge_pct < target_pct <= face_pct else [],
    }
    return _of_phases(heats, plate) + tuple(
        doubt(code, where=Where(value=float(values[0]))) for code, values in met.items() if values
    )


def _of_phases(heats, plate):
    """Heats that ask for more carbon than austenite dissolves, or leave the core partly ferrite."""
    found = []
    for heat in heats:
        if not heat.moves_carbon:
            continue
        hot, most = as_typed(heat.temperature_c, "c"), float(most_austenite_pct(heat.temperature_c))
        if (heat.held_pct or 0) > most:
            at = Where(value=heat.held_pct, expected=most)
            words = {"held": f"{heat.held_pct:g}", "heat": hot, "most": f"{most:.2f}"}
            found.append(doubt("surface_above_solubility", where=at, **words))
        least_c = float(a3_c(plate.core_pct))
        if heat.temperature_c < least_c:
            at = Where(value=heat.temperature_c, expected=least_c)
            words = {"core": f"{plate.core_pct:.2f}", "heat": hot, "least": f"{least_c:.0f}"}
            found.append(doubt("core_partly_ferrite", where=at, **words))
    return tuple(found)


def _of_heats(heats):
    """Temperatures of heats at which carbon stands still, or moves by extrapolation."""
    moving = [h.temperature_c for h in heats if h.moves_carbon]
    return {
        "heat_below_austenite": [h.temperature_c for h in heats if h.hours and not h.moves_carbon],
        "heat_outside_diffusivity": [
            c for c in moving if not PUBLISHED_C[0] <= c <= PUBLISHED_C[1]
        ],
    }


def _in_table(carbon_pct):
    return LOWEST_CARBON_PCT <= carbon_pct <= HIGHEST_CARBON_PCT
