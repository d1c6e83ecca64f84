"""Are outlines laid together where they belong, and only then?

    python -m tests.benchmarks.outline_pairs UNRELATED RELATED [--half tune|judge]

Outlines alone, without pictures, so that many pairs are tried: roughness of four kinds, damage,
each picture's own blur, noise, scale and bend. UNRELATED pairs of two edges, RELATED pairs of one
edge for each share of its roughness that is kept. Even seeds are for tuning, odd for judging.
"""

import argparse
from dataclasses import dataclass, field

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.signal import lfilter

from edgetest.photo.departures import Departure
from edgetest.photo.side.laid_together import lay_together
from edgetest.photo.side.side_view import ProfileMeasurement

KINDS = ("smooth", "sharp", "scratches", "waves")
KEPT = (1.0, 0.5, 0.25)
RIGHT_PX = 8.0  # a place so near is the right one


def smooth(rng, size, reach):
    """Roughness of a Gaussian correlation."""
    return gaussian_filter1d(rng.normal(size=size + 400), reach)[200:-200]


def sharp(rng, size, reach):
    """Roughness of an exponential correlation."""
    return lfilter([1], [1, -np.exp(-1 / reach)], rng.normal(size=size + 2000))[2000:]


def scratches(rng, size, reach):
    """Triangular scratches of exponential depth."""
    place, height = np.arange(size + 200), np.zeros(size + 200)
    for _ in range(int(0.8 * place.size / reach)):
        middle, depth = rng.uniform(0, place.size), rng.exponential()
        half = reach * rng.uniform(0.3, 1.2)
        height -= depth * np.clip(1 - np.abs(place - middle) / half, 0, 1)
    return height[100:-100]


def waves(rng, size, reach):
    """A pitch that wanders, as a belt's, with roughness over it: the hardest to place."""
    pitch = np.cos(np.cumsum(2 * np.pi / (4 * reach) * (1 + 0.15 * rng.normal(size=size))))
    own = smooth(rng, size, reach)
    return pitch + 0.7 * own / own.std()


def rough(rng, size, kind, reach):
    """Roughness of a kind and of spread 1."""
    height = {"smooth": smooth, "sharp": sharp, "scratches": scratches, "waves": waves}[kind](
        rng, size, reach
    )
    return (height - height.mean()) / height.std()


@dataclass(frozen=True)
class Camera:
    """One picture: its first place and step on the edge (px), µm a pixel, blur and noise (px)."""

    start: float
    step: float
    count: int
    um_per_px: float
    blur: float
    noise: float


def seen(rng, edge, chips, camera):
    """The outline as one picture measures it."""
    count, um, start = camera.count, camera.um_per_px, camera.start
    place = start + camera.step * np.arange(count)
    height = np.interp(place, np.arange(edge.size), gaussian_filter1d(edge, camera.blur))
    height = height + camera.noise * rng.normal(size=count)
    found = []
    for middle, length, depth in chips:
        height -= depth * np.clip(1 - ((place - middle) / (length / 2)) ** 2, 0, None)
        if place[0] + length / 2 < middle < place[-1] - length / 2:
            at, long = (middle - start) / camera.step * um, length / camera.step * um
            found.append(Departure(at, long, depth * um, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0))
    height += 0.5 * rng.normal() * np.cos(3 * np.linspace(-1, 1, count) + rng.uniform(0, 6))
    return ProfileMeasurement(
        "measured", chips=tuple(found), um_per_px=um, position_um=um * np.arange(count),
        departure_um=um * height,
    )  # fmt: skip


def chips_of(rng, size, least, most):
    """Middles, lengths and depths of chips, px."""
    return [
        (rng.uniform(0, size), rng.uniform(10, 70), rng.uniform(2, 20))
        for _ in range(rng.integers(least, most))
    ]


def drawn(seed, kept):
    """Two outlines, the true shift at a place of the first (µm), and the kind of roughness.

    `kept` is the correlation of the second's roughness with the first's; None: two edges.
    """
    rng = np.random.default_rng([seed, 99])
    count, um = int(rng.choice([800, 1200, 1600])), rng.uniform(2, 12)
    kind, reach, spread = str(rng.choice(KINDS)), rng.uniform(1.0, 6.0), rng.uniform(0.15, 1.5)
    size = int(2.6 * count)
    one, other = (spread * rough(rng, size, kind, reach) for _ in range(2))
    move, step = count * rng.uniform(-0.5, 0.5), 1 + rng.uniform(-0.02, 0.02)
    old, new = chips_of(rng, size, 0, 8), chips_of(rng, size, 2, 10)
    later = new
    if kept is not None:
        other = kept * one + np.sqrt(1 - kept**2) * other
        later = [(at, 1.1 * length, 1.2 * depth) for at, length, depth in old] + new
    blurs, noises = rng.uniform(0.5, 3, 2), rng.uniform(0.01, 0.08, 2)
    first = seen(rng, one, old, Camera(0.8 * count, 1.0, count, um, blurs[0], noises[0]))
    place = Camera(0.8 * count + move, step, count, um, blurs[1], noises[1])
    second = seen(rng, other, later, place)
    return first, second, lambda at_um: (at_um - move * um) / step, kind


@dataclass
class Tally:
    """What became of the pairs of one row; by kind of roughness accepted and tried."""

    tried: int = 0
    accepted: int = 0
    wrong: int = 0
    errors: list = field(default_factory=list)
    kinds: dict = field(default_factory=lambda: {kind: [0, 0] for kind in KINDS})

    def add(self, seed, kept):
        """Lay one pair together."""
        first, second, true, kind = drawn(seed, kept)
        laid = lay_together(first, second)
        self.tried += 1
        self.kinds[kind][1] += 1
        if not laid.accepted:
            return
        self.accepted += 1
        self.kinds[kind][0] += 1
        middle = laid.place.middle_um
        off = abs(laid.on_second(middle) - true(middle))
        if kept is None or off > RIGHT_PX * first.um_per_px:
            self.wrong += 1
        else:
            self.errors.append((off / first.um_per_px, off / laid.shift_u_um))

    def row(self, name):
        """Cells of the table."""
        off, by_u = np.array(self.errors).T if self.errors else ([], [])
        shares = [f"{100 * a / n:.0f}" if n else "–" for a, n in self.kinds.values()]
        return (
            name, self.tried, self.wrong, f"{100 * (self.accepted - self.wrong) / self.tried:.0f}",
            *shares,
            f"{np.quantile(off, 0.95):.2f}" if len(off) else "–",
            f"{100 * np.mean(by_u < 1.96):.0f}" if len(off) else "–",
        )  # fmt: skip


HEAD = (
    "pairs", "tried", "accepted wrongly", "accepted rightly %", *(f"{kind} %" for kind in KINDS),
    "error px, 95 %", "shift covers %",
)  # fmt: skip


def ran():
    """Read the command line and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("unrelated", type=int)
    parser.add_argument("related", type=int)
    parser.add_argument("--half", choices=("tune", "judge"), default="tune")
    given = parser.parse_args()
    odd = int(given.half == "judge")
    rows = [("two edges", None, given.unrelated)]
    rows += [(f"{kept:g} of the roughness kept", kept, given.related) for kept in KEPT]
    for cells in (HEAD, ["---"] * len(HEAD)):
        print("| " + " | ".join(cells) + " |")
    for name, kept, count in rows:
        tally = Tally()
        for seed in range(odd, odd + 2 * count, 2):
            tally.add(seed, kept)
        print("| " + " | ".join(str(cell) for cell in tally.row(name)) + " |", flush=True)


if __name__ == "__main__":
    ran()
