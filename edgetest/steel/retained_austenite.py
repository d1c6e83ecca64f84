"""What a quench makes of a carbon content: austenite that stays, ferrite that was there, hardness.

Koistinen and Marburger's law with Barbier's martensite start; parts mixed in Vickers.
"""

import numpy as np

from edgetest.steel.conversion import hrc_of_mixture, vickers_of
from edgetest.steel.martensite import HIGHEST_CARBON_PCT, as_quenched_hrc
from edgetest.steel.phase_limits import least_austenite_pct, most_austenite_pct

RATE_PER_C = 0.011  # Koistinen and Marburger, Acta Metallurgica 7 (1959) 59-60
QUENCHED_TO_C = 20.0
MANGANESE_PCT = 0.5  # a plain steel's, the middle of what is usual; not known of salvaged steel
# Of Ms, with what manganese, grain and quench may differ: 95 % of the austenite at 1.4 % carbon
# then is 19 to 55 %, about the 28 to 45 % that steel-guide.info shows measured.
MS_SD_C = 25.0
AUSTENITE_HV, FERRITE_HV = 250.0, 130.0  # from memory


def martensite_start_c(carbon_pct):
    """Temperature at which martensite begins to form in plain steel, °C.

    Andrews's straight line (1965: 539 - 423 C) holds up to 0.6 % carbon only; this one bends.

    References
    ----------
    .. [1] D. Barbier, Advanced Engineering Materials 16 (2014) 122-127 (formula read in a public
       program that names it; pages from memory): 545 - 601.2 (1 - exp(-0.868 C)) - 34.4 Mn.
    """
    carbon = np.asarray(carbon_pct, dtype=float)
    return 545 - 601.2 * (1 - np.exp(-0.868 * carbon)) - 34.4 * MANGANESE_PCT


def retained_share(dissolved_pct, ms_shift_c=0.0):
    """Share of austenite left after a quench to room temperature, 0 to 1.

    Parameters
    ----------
    dissolved_pct : float or array_like
        Carbon dissolved in the austenite at the heat for the quench, % by weight.
    ms_shift_c : float or array_like
        How far martensite begins above the formula, °C.

    References
    ----------
    .. [1] D. P. Koistinen and R. E. Marburger, Acta Metallurgica 7 (1959) 59-60.
    """
    undercooling = martensite_start_c(dissolved_pct) + ms_shift_c - QUENCHED_TO_C
    return np.exp(-RATE_PER_C * np.maximum(undercooling, 0.0))


def after_quench(carbon_pct, quench_c, ms_shift_c=0.0, steel_hrc=0.0):
    """Hardness and retained austenite straight from the quench.

    Carbon above line Acm of the heat stays in carbides; below A3 some of the steel is ferrite
    (lever rule), the rest austenite of the carbon of A3.

    Parameters
    ----------
    carbon_pct : ndarray
        % by weight.
    quench_c : ndarray
        Heat of the quench, °C.
    ms_shift_c, steel_hrc : ndarray
        How far martensite begins above the formula, and how much harder the steel is than the
        relation of ASTM A255.

    Returns
    -------
    hardness_hrc, austenite, by_carbon_hrc : ndarray
        HRC, the share that stays austenite, and the HRC were none of it to stay.
    """
    least, most = least_austenite_pct(quench_c), most_austenite_pct(quench_c)
    dissolved = np.clip(carbon_pct, least, most)
    ferrite = 1 - np.clip(carbon_pct / np.maximum(least, 1e-9), 0.0, 1.0)
    austenite = retained_share(dissolved, ms_shift_c)
    # The relation was read on quenched steels up to here: their austenite is in it already.
    known = retained_share(np.minimum(dissolved, HIGHEST_CARBON_PCT), ms_shift_c)
    soft = austenite - known
    quenched_hv = vickers_of(as_quenched_hrc(dissolved) + steel_hrc)
    hardened_hv = (1 - soft) * quenched_hv + soft * AUSTENITE_HV

    def with_ferrite(vickers):
        return hrc_of_mixture((1 - ferrite) * vickers + ferrite * FERRITE_HV)

    return with_ferrite(hardened_hv), (1 - ferrite) * austenite, with_ferrite(quenched_hv)
