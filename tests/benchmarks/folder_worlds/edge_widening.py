"""How wide is an edge after so many cuts? Four laws, all fast at first and slower then.

True edge width w(c) = w0_blade + R(u), u the wear-cuts made: u = c / (life scale) under steady
conditions. R, one a study:

    two_stage   a (1 - exp(-u/u1)) + b u^p, a 25 to 60 % of the rise at the limit, p 0.6 to 0.95
    log         a ln(1 + u/u1)
    power       a u^p, p 0.35 to 0.6
    hill        a u^p / (1 + (u/u2)^p), p 0.6 to 0.9, u2 1.5 to 4 times the limit's life
"""

import numpy as np

KINDS = ("two_stage", "log", "power", "hill")


def drawn_law(rng):
    """A law by its kind and parameters; widths in µm."""
    kind = str(rng.choice(KINDS))
    law = {"kind": kind}
    top = rng.uniform(8, 22)  # µm risen at u = 1, where 1 is about the limit's life
    if kind == "two_stage":
        share = rng.uniform(0.25, 0.6)
        first = {"a": share * top, "u1": rng.uniform(0.05, 0.2)}
        law |= first | {"b": (1 - share) * top, "p": rng.uniform(0.6, 0.95)}
    elif kind == "log":
        u1 = rng.uniform(0.05, 0.3)
        law |= {"a": top / np.log1p(1 / u1), "u1": u1}
    elif kind == "power":
        law |= {"a": top, "p": rng.uniform(0.35, 0.6)}
    else:
        p, u2 = rng.uniform(0.6, 0.9), rng.uniform(1.5, 4)
        law |= {"a": top * (1 + (1 / u2) ** p), "p": p, "u2": u2}
    return law


def risen(law, u, first=1.0):
    """R(u), µm; `first` times the first part of two."""
    u = np.asarray(u, float)
    if law["kind"] == "two_stage":
        return first * law["a"] * (1 - np.exp(-u / law["u1"])) + law["b"] * u ** law["p"]
    if law["kind"] == "log":
        return law["a"] * np.log1p(u / law["u1"])
    if law["kind"] == "power":
        return law["a"] * u ** law["p"]
    return law["a"] * u ** law["p"] / (1 + (u / law["u2"]) ** law["p"])


def wear_at(law, width_um, w0_um, first):
    """Wear-cuts at which w0 + R reaches a width; infinite where it never does below u = 1e4."""
    if w0_um >= width_um:
        return 0.0
    low, high = 0.0, 1e4
    if w0_um + risen(law, high, first) < width_um:
        return np.inf
    for _ in range(200):
        middle = 0.5 * (low + high)
        if w0_um + risen(law, middle, first) < width_um:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
