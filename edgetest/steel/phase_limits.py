"""What the iron-carbon diagram allows at a heat: the lines A1, A3, Acm and that of graphite.

Points of A3 and Acm: Gustafson's assessment of iron and carbon (Scandinavian Journal of
Metallurgy 14 (1985) 259-267; parameters from memory), solved for the equilibrium of austenite
with ferrite and with cementite. They meet the printed eutectoid (727 °C, 0.76 %), and the steels
that Andrews measured (1965: 910 - 203 sqrt(C)) lie up to 24 °C below this A3; manganese lowers
A3 by about 30 °C a percent, silicon raises it by 45.
"""

import numpy as np

A1_C = 727.0  # eutectoid, as textbooks print it; no austenite below
EUTECTOID_PCT = 0.76
EUTECTIC_C, EUTECTIC_PCT = 1147.0, 2.1  # printed 2.08 to 2.14; nowhere does austenite dissolve more
_A3 = np.array([
    (727, 0.76), (750, 0.603), (775, 0.460), (800, 0.341), (825, 0.241), (850, 0.156),
    (875, 0.084), (900, 0.024), (912, 0.0),
])  # fmt: skip
_ACM = np.array([
    (727, 0.76), (750, 0.819), (775, 0.883), (800, 0.948), (825, 1.016), (850, 1.085),
    (875, 1.155), (900, 1.228), (925, 1.302), (950, 1.378), (1000, 1.535), (1050, 1.701),
    (1100, 1.875), (1147, EUTECTIC_PCT),
])  # fmt: skip


def a3_c(carbon_pct):
    """Temperature above which a steel is wholly austenite, °C; A1 from the eutectoid on."""
    return np.interp(carbon_pct, _A3[::-1, 1], _A3[::-1, 0])


def least_austenite_pct(temperature_c):
    """Carbon from which a steel is wholly austenite at a heat, %; 0 from 912 °C on."""
    return np.interp(temperature_c, _A3[:, 0], _A3[:, 1])


def most_austenite_pct(temperature_c):
    """Carbon that austenite dissolves beside cementite (line Acm), %.

    Cementite, not graphite: steel forms cementite, and charcoal holds up to a few
    hundredths more carbon than graphite does.
    """
    return np.interp(temperature_c, _ACM[:, 0], _ACM[:, 1])


def graphite_pct(temperature_c):
    """Carbon of austenite in balance with graphite, %: what a gas over carbon holds at the most.

    References
    ----------
    .. [1] F. Neumann 1965, 3.35e-4 t + 1.61e-6 t² - 0.435 with t in °C (read in a public
       program for ductile iron that names it).
    """
    t = np.asarray(temperature_c, dtype=float)
    return 3.35e-4 * t + 1.61e-6 * t**2 - 0.435
