"""Carbon moving in a plate (Fick's second law) by finite volumes; the plate's series by Crank."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import erfc

from edgetest.errors import UnusableInput

GAS_J_MOL_K = 8.314462618
ZERO_C = 273.15
MM2_PER_H = 3.6e9  # 1 m²/s in mm²/h


@dataclass(frozen=True)
class Diffusivity:
    """A published diffusivity of carbon in austenite, D = D0 exp(-Q/RT)."""

    name: str
    d0_m2_s: float
    q_j_mol: float
    source: str

    def mm2_h(self, temperature_c, carbon_pct=0.0):
        """Diffusivity in mm²/h; carbon does not enter this form."""
        kelvin = np.asarray(temperature_c, dtype=float) + ZERO_C
        return MM2_PER_H * self.d0_m2_s * np.exp(-self.q_j_mol / (GAS_J_MOL_K * kelvin))


def mole_ratio(carbon_pct):
    """Atoms of carbon per atom of iron, from % by weight."""
    carbon = np.asarray(carbon_pct, dtype=float)
    return (carbon / 12.011) / ((100 - carbon) / 55.845)


@dataclass(frozen=True)
class CarbonDependentDiffusivity:
    """Diffusivity that rises with carbon, after Ågren."""

    name: str
    source: str

    def mm2_h(self, temperature_c, carbon_pct=0.0):
        """Diffusivity in mm²/h at a temperature and carbon content (% by weight)."""
        kelvin = np.asarray(temperature_c, dtype=float) + ZERO_C
        y = mole_ratio(carbon_pct)
        rise = 1 + y * (1 - y) * 8339.9 / kelvin
        return MM2_PER_H * 4.53e-7 * rise * np.exp(-(1 / kelvin - 2.221e-4) * (17767 - 26436 * y))


@dataclass(frozen=True)
class TibbettsDiffusivity:
    """Diffusivity that rises with carbon, after Tibbetts: D0 exp(-1.6 C) exp(-(Q - q C)/RT)."""

    name: str
    source: str

    def mm2_h(self, temperature_c, carbon_pct=0.0):
        """Diffusivity in mm²/h at a temperature and carbon content (% by weight)."""
        kelvin = np.asarray(temperature_c, dtype=float) + ZERO_C
        carbon = np.asarray(carbon_pct, dtype=float)
        barrier = (155e3 - 27.6e3 * carbon) / (GAS_J_MOL_K * kelvin)
        return MM2_PER_H * 4.7e-5 * np.exp(-1.6 * carbon - barrier)


@dataclass(frozen=True)
class Hot:
    """A diffusivity at the temperature of a heat, for every sample; `factor` is a calibration's."""

    law: Diffusivity | CarbonDependentDiffusivity | TibbettsDiffusivity
    temperature_c: np.ndarray | float
    factor: np.ndarray | float = 1.0

    def mm2_h(self, carbon_pct=0.0):
        """Diffusivity in mm²/h at a carbon content (% by weight)."""
        return self.factor * self.law.mm2_h(self.temperature_c, carbon_pct)


DIFFUSIVITIES = {
    d.name: d
    for d in (
        Diffusivity(
            "callister_later", 2.3e-5, 148e3, "Callister, Materials Science, later editions"
        ),
        Diffusivity("callister_early", 2.0e-5, 142e3, "Callister, early editions; Smith; memory"),
        Diffusivity("steelmatter", 1.5e-5, 135e3, "matter.org.uk, teaching module on steel"),
        Diffusivity("wells_mehl", 1.2e-5, 134e3, "Wells and Mehl; from memory"),
        TibbettsDiffusivity("tibbetts", "Tibbetts, rises with carbon; from memory"),
        CarbonDependentDiffusivity(
            "agren",
            "Ågren, Scripta Metallurgica 20 (1986) 1507-1510 (formula read in public "
            "implementations naming it; pages from memory)",
        ),
    )
}


def diffusivity(name):
    """The named published set; an unknown name lists the known ones."""
    if name not in DIFFUSIVITIES:
        known = ", ".join(DIFFUSIVITIES)
        raise UnusableInput(f"{name!r} is no known diffusivity", "diffusivity", f"known: {known}")
    return DIFFUSIVITIES[name]


# ---- closed form --------------------------------------------------------------------------


def plate_centre_share(fo):
    """How far the middle of a plate has come from core (0) to surface carbon (1).

    `fo` is D t / a² with a half the thickness, both faces held at the surface carbon.
    Crank's series, and the short-time form below Fo = 0.1 where the series is slow.

    References
    ----------
    .. [1] J. Crank, The Mathematics of Diffusion, 2nd ed. (1975), pp. 47-48.
    """
    fo = np.maximum(np.asarray(fo, dtype=float), 1e-12)
    n = np.arange(30.0)[:, None]
    flat = fo.reshape(1, -1)
    odd = 2 * n + 1
    late = 1 - 4 / np.pi * ((-1) ** n / odd * np.exp(-((odd * np.pi / 2) ** 2) * flat)).sum(0)
    early = 2 * ((-1) ** n[:5] * erfc(odd[:5] / (2 * np.sqrt(flat)))).sum(0)
    return np.where(flat[0] < 0.1, early, late).reshape(fo.shape)


# ---- finite volumes -----------------------------------------------------------------------


@dataclass(frozen=True)
class Grid:
    """Cells across a plate, finer towards both faces; positions from the first face."""

    edges_mm: np.ndarray
    centres_mm: np.ndarray
    widths_mm: np.ndarray

    @property
    def gaps_mm(self):
        """Distances over which carbon flows: face to first centre, between centres, and out."""
        points = np.concatenate([self.edges_mm[:1], self.centres_mm, self.edges_mm[-1:]])
        return np.diff(points)


def plate_grid(thickness_mm, nodes=200, *, grading=0.85):
    """Smoothly graded cells: at the faces (1 - grading) as wide as the mean."""
    if not thickness_mm > 0:
        what = f"{thickness_mm:g} mm is no thickness"
        raise UnusableInput(what, "thickness_mm", "give the section at heat treatment")
    s = np.linspace(0, 1, nodes + 1)
    edges = thickness_mm * (s - grading * np.sin(2 * np.pi * s) / (2 * np.pi))
    edges[0], edges[-1] = 0.0, thickness_mm
    return Grid(edges, (edges[1:] + edges[:-1]) / 2, np.diff(edges))


def first_half(grid):
    """The cells up to the middle of an even grid; a symmetric plate is this half, sealed there."""
    n = grid.centres_mm.size // 2
    return Grid(grid.edges_mm[: n + 1], grid.centres_mm[:n], grid.widths_mm[:n])


@lru_cache(maxsize=32)
def _modes(nodes, open_first, open_second):
    """Rates and modes of the plate of unit thickness: exact solution of the finite volumes."""
    grid = plate_grid(1.0, nodes)
    conductance = 1 / grid.gaps_mm
    conductance[0] *= open_first
    conductance[-1] *= open_second
    root = np.sqrt(grid.widths_mm)
    matrix = np.diag((conductance[:-1] + conductance[1:]) / grid.widths_mm)
    off = -conductance[1:-1] / (root[1:] * root[:-1])
    rates, vectors = np.linalg.eigh(matrix + np.diag(off, 1) + np.diag(off, -1))
    return np.maximum(rates, 0.0), vectors, root, conductance


def relax(carbon_pct, dt_mm2, grid, first_pct, second_pct):
    """Carbon after a heat of constant diffusivity, by eigenmodes of the finite volumes.

    Exact in time for the cells of the grid.

    Parameters
    ----------
    carbon_pct : ndarray, shape (samples, nodes)
        Carbon before the heat.
    dt_mm2 : ndarray, shape (samples,)
        Diffusivity times time, mm².
    grid : Grid
        From `plate_grid` with its default grading.
    first_pct, second_pct : ndarray, shape (samples,), or None
        Carbon held at each face; None where the face is sealed.

    Returns
    -------
    carbon_pct : ndarray, shape (samples, nodes)
    gained : ndarray, shape (samples,)
        Carbon that came in through both faces, % mm, from the flow at the faces.
    """
    thickness = grid.edges_mm[-1]
    nodes = grid.centres_mm.size
    rates, vectors, root, conductance = _modes(nodes, first_pct is not None, second_pct is not None)
    position = grid.centres_mm / thickness
    if first_pct is None and second_pct is None:
        steady = np.zeros_like(carbon_pct)
    else:
        a = second_pct if first_pct is None else first_pct
        b = first_pct if second_pct is None else second_pct
        steady = a[:, None] + (b - a)[:, None] * position
    amplitude = ((carbon_pct - steady) * root) @ vectors
    fo = dt_mm2[:, None] / thickness**2
    decay = np.exp(-rates * fo)
    after = (amplitude * decay) @ vectors.T / root + steady
    # Time integral of each mode; (1 - exp(-r Fo))/r, and Fo itself for a mode that stays.
    lasting = np.where(rates > 0, -np.expm1(-rates * fo) / np.where(rates > 0, rates, 1.0), fo)
    integral = (amplitude * lasting) @ vectors.T / root
    gained = np.zeros(carbon_pct.shape[0])
    if first_pct is not None:
        gained -= conductance[0] * integral[:, 0]
    if second_pct is not None:
        gained -= conductance[-1] * integral[:, -1]
    return after, gained * thickness


def march(carbon_pct, hours, grid, first_pct, second_pct, hot, *, steps=60):
    """Carbon after a heat by TR-BDF2 on finite volumes; diffusivity may depend on carbon.

    Second order, implicit, damps the jump at a freshly held face; steps grow from the start
    of the heat, the diffusivity is iterated within each stage (Picard). Every stage balances what
    the cells gain against what flows through the faces.

    Parameters
    ----------
    carbon_pct : ndarray, shape (samples, nodes)
    hours : float
    grid : Grid
    first_pct, second_pct : ndarray, shape (samples,), or None
        Carbon held at each face; None where sealed.
    hot : Hot
    steps : int
        Time steps of the heat.

    Returns
    -------
    carbon_pct : ndarray, shape (samples, nodes)
    gained : ndarray, shape (samples,)
        Carbon that came in through both faces, % mm.

    References
    ----------
    .. [1] R. E. Bank et al., "Transient simulation of silicon devices and circuits",
       IEEE Trans. Electron Devices 32 (1985) 1992-2007 (from memory).
    """
    carbon, gained = carbon_pct, np.zeros(carbon_pct.shape[0])
    flow = _flow(hot, grid, first_pct, second_pct)
    for step_h in np.diff(hours * np.linspace(0, 1, steps + 1) ** 2):
        carbon, more = _step(carbon, step_h, grid, flow)
        gained = gained + more
    return carbon, gained


def march_core(hours, core_pct, surface_pct, grid, hot, *, until_pct):
    """Carbon in the middle at each of the given times, both faces held; (times, samples).

    It ends before the last time where every middle that can reach `until_pct` has reached it.
    """
    grid = first_half(grid)
    samples = np.broadcast_shapes(np.shape(surface_pct), np.shape(hot.temperature_c))
    carbon = np.broadcast_to(np.asarray(core_pct)[..., None], (*samples, grid.centres_mm.size))
    faces = np.broadcast_to(surface_pct, samples)
    flow = _flow(hot, grid, faces, None)
    core = []
    for step_h in np.diff(hours, prepend=0.0):
        carbon, _ = _step(carbon, step_h, grid, flow)
        core.append(carbon[:, -1])
        if np.all((core[-1] > until_pct) | (faces <= until_pct)):
            break
    return np.array(core)


def _flow(hot, grid, first_pct, second_pct):
    """A function from carbon to the conductances (mm/h) and the carbon held at the faces."""
    celsius, factor = np.asarray(hot.temperature_c)[..., None], np.asarray(hot.factor)[..., None]
    columns = Hot(hot.law, celsius, factor)
    gaps = grid.gaps_mm

    def conductances(carbon):
        first = carbon[:, 0] if first_pct is None else first_pct
        second = carbon[:, -1] if second_pct is None else second_pct
        points = np.concatenate([first[:, None], carbon, second[:, None]], axis=1)
        middle = (points[:, 1:] + points[:, :-1]) / 2
        g = columns.mm2_h(middle) / gaps
        if first_pct is None:
            g[:, 0] = 0.0
        if second_pct is None:
            g[:, -1] = 0.0
        return g, first, second

    return conductances


def _gain(carbon, link):
    """Rate of gain of each cell (% mm/h) and of the whole plate through its faces."""
    g, first, second = link
    points = np.concatenate([first[:, None], carbon, second[:, None]], axis=1)
    inward = -g * np.diff(points, axis=1)
    return inward[:, :-1] - inward[:, 1:], inward[:, 0] - inward[:, -1]


def _solve(link, scale, right):
    """(1 + scale K) c = right for all samples at once, as one long tridiagonal system."""
    from scipy.linalg.lapack import dgtsv  # what `solve_banded` calls, without its checks

    g, first, second = link
    above, below = np.zeros(right.shape), np.zeros(right.shape)
    above[:, :-1] = -scale[:-1] * g[:, 1:-1]
    below[:, :-1] = -scale[1:] * g[:, 1:-1]
    middle = 1 + scale * (g[:, :-1] + g[:, 1:])
    right = right.copy()
    right[:, 0] += scale[0] * g[:, 0] * first
    right[:, -1] += scale[-1] * g[:, -1] * second
    *_, flat, info = dgtsv(below.ravel()[:-1], middle.ravel(), above.ravel()[:-1], right.ravel(),
                           True, True, True, True)  # fmt: skip
    if info:
        raise ZeroDivisionError("a cell that neither keeps nor passes carbon")
    return flat.reshape(right.shape)


_W, _D = np.sqrt(2) / 4, 1 - np.sqrt(2) / 2
_PICARD = 2  # the second repeats the first with the diffusivity of its answer


def _step(carbon, step_h, grid, flow):
    """One TR-BDF2 step: c + h (w f0 + w f1 + d f2), each stage solved implicitly."""
    widths = grid.widths_mm
    gain0, in0 = _gain(carbon, flow(carbon))
    scale = _D * step_h / widths
    right = carbon + scale * gain0
    stage = carbon
    for _ in range(_PICARD):
        link = flow(stage)
        stage = _solve(link, scale, right)
    gain1, in1 = _gain(stage, link)
    right = carbon + step_h * _W / widths * (gain0 + gain1)
    new = stage
    for _ in range(_PICARD):
        link = flow(new)
        new = _solve(link, scale, right)
    _, in2 = _gain(new, link)
    return new, step_h * (_W * (in0 + in1) + _D * in2)
