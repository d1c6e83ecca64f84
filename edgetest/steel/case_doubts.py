"""What a pack, its profile and the grind leave in doubt, with the value met."""

from edgetest.doubts import Where, doubt
from edgetest.steel.heat_schedule import PUBLISHED_C
from edgetest.steel.martensite import HIGHEST_CARBON_PCT, LOWEST_CARBON_PCT
from edgetest.steel.pack_potential import SHORT_H
from edgetest.steel.phase_limits import a3_c, most_austenite_pct
from edgetest.units import as_typed

CARBIDES_FROM_PCT = 1.2  # carbides form a net in the pack; common practice, no source
MUCH_AUSTENITE_PCT = 15.0  # from here a file or wheel finds it; common practice, no source
LIKELY = 0.5


def case_doubts(case):
    """Doubts of a case: of its heats, of the profile that came out, and of the grind.

    Parameters
    ----------
    case : CaseResult

    Returns
    -------
    tuple of Doubt
    """
    heats, profile = case.heats, case.carbon_pct[1]
    laws, packs = case.known.spread, [h for h in heats if h.surface == "carburising" and h.hours]
    face, edge = case.probability_faces_hard, case.probability_edge_hard
    met = {
        **_of_heats(heats),
        "carbon_outside_table": [
            pct for pct in (profile.max(), profile.min()) if not _in_table(pct)
        ],
        "carbide_network": [h.held_pct for h in packs if h.held_pct > CARBIDES_FROM_PCT],
        "diffusivity_spread": [laws] if laws > 1 else [],
        "short_pack": [h.hours for h in packs if h.hours < SHORT_H],
        "not_through_hardened": [case.edge_carbon_pct.value] if edge < LIKELY <= face else [],
    }
    return (
        *_of_phases(heats, case.plate),
        *_of_faces(case),
        *(doubt(code, where=Where(value=float(v[0]))) for code, v in met.items() if v),
    )


def _of_faces(case):
    """Why the ground faces may be soft: skin, austenite, or ground beyond the case."""
    found = []
    austenite, skin = case.retained_austenite_pct, case.soft_skin_mm
    if austenite.value >= MUCH_AUSTENITE_PCT:
        at = Where(value=austenite.value)
        found.append(doubt("retained_austenite", where=at, share=austenite.summary()))
    if case.skin_left:
        at = Where(value=skin.value, expected=skin.high)
        words = {"skin": skin.summary(), "off": f"{skin.high:.2f}"}
        found.append(doubt("decarburised_skin", where=at, **words))
    if case.case_depth_mm.value == 0:
        at = Where(value=float(case.carbon_pct[1].max()), expected=case.target_pct)
        found.append(doubt("case_not_hard", where=at, needed=f"{case.target_pct:.2f}"))
    elif (
        case.probability_faces_hard < LIKELY
        and max(case.plate.removed_mm) > case.case_depth_mm.value
    ):
        found.append(doubt("ground_to_core", where=Where(value=case.face_carbon_pct.value)))
    return tuple(found)


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
