"""How does a hung tool swing, and what does a stopwatch say of it? Bodies of exact inertia.

Rod: m L²/12 about its middle. Plate: m (a² + b²)/12. Two masses: m1 m2 / (m1 + m2) d². The period
of a wide swing is that of a small one over the arithmetic-geometric mean of 1 and cos(A / 2).
"""

from dataclasses import dataclass
from math import cos, pi, radians, sqrt

import numpy as np

STANDARD_GRAVITY = 9.80665  # m/s², the conventional value
LOCAL_GRAVITY = (9.79, 9.82)  # between low latitudes and high ones
BODIES = ("rod", "plate", "two_masses")


@dataclass(frozen=True)
class Body:
    """A rigid body: mass (kg), length, balance from the butt (m), inertia about the balance."""

    kind: str
    mass: float
    length: float
    balance: float
    inertia: float

    def about(self, place):
        """Moment of inertia about a place along the body, kg m² (parallel axes)."""
        return self.inertia + self.mass * (self.balance - place) ** 2

    def percussion(self, grip):
        """Place of the centre of percussion for this grip, m from the butt."""
        return grip + self.about(grip) / (self.mass * (self.balance - grip))

    def period(self, pivot, amplitude_deg=0.0, gravity=STANDARD_GRAVITY):
        """Period of one full swing, there and back, about the pivot, s."""
        arm = self.mass * gravity * (self.balance - pivot)
        return 2 * pi * sqrt(self.about(pivot) / arm) / mean_of(cos(radians(amplitude_deg) / 2))


def mean_of(b, a=1.0):
    """Arithmetic-geometric mean of a and b."""
    for _ in range(40):
        a, b = (a + b) / 2, sqrt(a * b)
    return a


def body(kind, rng):
    """A body of the size of a chopper."""
    length = float(rng.uniform(0.30, 0.48))
    if kind == "rod":
        mass = float(rng.uniform(0.4, 0.9))
        return Body(kind, mass, length, length / 2, mass * length**2 / 12)
    if kind == "plate":
        mass, wide = float(rng.uniform(0.4, 0.9)), float(rng.uniform(0.04, 0.09))
        return Body(kind, mass, length, length / 2, mass * (length**2 + wide**2) / 12)
    near, far = float(rng.uniform(0.15, 0.35)), float(rng.uniform(0.25, 0.6))
    first, second = float(rng.uniform(0.02, 0.10)), float(length - rng.uniform(0.01, 0.06))
    mass = near + far
    balance = (near * first + far * second) / mass
    inertia = near * far / mass * (second - first) ** 2
    return Body(kind, mass, length, balance, inertia)


@dataclass(frozen=True)
class Timed:
    """A body, how it was held and timed, and what was written: `handling` as in study.toml."""

    body: Body
    grip: float
    handling: dict
    miscounted: str


def timed(kind, seed, *, exact=False):
    """A body hung, timed and measured; `exact` measures all without error."""
    rng = np.random.default_rng([seed, BODIES.index(kind), 5])
    thing = body(kind, rng)
    pivot = float(rng.uniform(0.008, 0.02))
    grip = float(rng.uniform(0.05, 0.09))
    strike = float(thing.length * rng.uniform(0.70, 0.85))
    swings, amplitude = int(rng.choice([10, 20, 20, 30])), float(rng.uniform(5, 15))
    miscounted = "no" if exact else str(rng.choice(["no", "no", "no", "one", "all"]))
    off = int(rng.choice([-1, 1]))
    seconds = []
    react = float(rng.uniform(0.1, 0.25))
    gravity = STANDARD_GRAVITY if exact else float(rng.uniform(*LOCAL_GRAVITY))
    for turn in range(3):
        wrong = miscounted == "all" or (miscounted == "one" and turn == 1)
        count = swings + (off if wrong else 0)
        wide = 0.0 if exact else 0.85 * amplitude  # it dies down while it is timed
        true = count * thing.period(pivot, wide, gravity)
        # Start and stop are both late; what stays is the difference of two reactions.
        late = 0.0 if exact else float(rng.normal(0, 0.35 * react) - rng.normal(0, 0.35 * react))
        seconds.append(true + late)

    def taken(value_m, sd_mm, digits=0):
        """A length as measured, mm."""
        if exact:
            return value_m * 1000
        return round(value_m * 1000 + float(rng.normal(0, sd_mm)), digits)

    handling = {
        "mass_g": thing.mass * 1000
        if exact
        else round(thing.mass * 1000 + float(rng.normal(0, 1))),
        "balance_mm": taken(thing.balance, 1.0),
        "pivot_mm": taken(pivot, 0.5),
        "swings": swings,
        "seconds": [s if exact else round(s, 2) for s in seconds],
        "amplitude_deg": 0.01 if exact else max(2, round(amplitude + float(rng.normal(0, 2)))),
        "grip_mm": taken(grip, 3.0),
        "strike_mm": taken(strike, 3.0),
        "handle_front_mm": taken(0.12, 1.0),
        "length_mm": taken(thing.length, 0.5),
    }
    return Timed(thing, grip, handling, miscounted)


def impossible(handling):
    """Whether what was written breaks 0 <= I <= m c (L - c), the inertia about the balance."""
    c, length = handling["balance_mm"] / 1000, handling["length_mm"] / 1000
    arm = c - handling["pivot_mm"] / 1000
    period = float(np.mean(handling["seconds"])) / handling["swings"]
    period *= mean_of(cos(radians(handling["amplitude_deg"]) / 2))
    square = STANDARD_GRAVITY * arm * (period / (2 * pi)) ** 2 - arm**2
    return square < 0 or square > c * (length - c)


def apart(handling):
    """Whether one timing lies half a swing or more from the middle one."""
    seconds = handling["seconds"]
    half = np.median(seconds) / handling["swings"] / 2
    return bool(max(abs(s - np.median(seconds)) for s in seconds) > half)


def swing_text(told):
    """study.toml of a timed body."""
    lines = [
        "# Invented data: a body of exact inertia, timed by an invented hand.",
        f'title = "Invented {told.body.kind} on a nail"',
        'protocol = "billet_chop"',
        "invented = true",
        "",
        "[[blades]]",
        'id = "T1"',
        "",
        "[handling.T1]",
    ]
    lines += [f"{key} = {value!r}" for key, value in told.handling.items()]
    return "\n".join(lines) + "\n"
