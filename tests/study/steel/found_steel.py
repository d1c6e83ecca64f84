"""Studies of found steel as the tests make them: invented, seeded, written as text."""

import numpy as np

STAGES = (0, 10, 25, 50, 100, 150, 200, 300)


def widths(life, stages=STAGES, *, scatter=0.02, seed=1):
    """A worn wedge at three stations."""
    rng = np.random.default_rng(seed)
    return [
        (cuts, station, np.sqrt(2.4**2 + (144 - 2.4**2) * cuts / life) * rng.lognormal(0, scatter))
        for cuts in stages
        for station in (20, 40, 60)
    ]


def make_study(folder, lives=None, *, blades="", head="", evidence="", last=None):
    """A study on disk: `lives` by blade, tables as text."""
    lives = lives or {}
    lines = ['title = "Found steel"', 'protocol = "sisal_rope"', 'edge_width_from = "log"', head]
    for blade in lives or {"X1": 0}:
        lines.append(f'[[blades]]\nid = "{blade}"\nangle_per_side_deg = 15')
        lines.append(blades.get(blade, "") if isinstance(blades, dict) else blades)
    lines.append(evidence)
    rows = ["blade,cuts,station_mm,edge_width_um"]
    for seed, (blade, life) in enumerate(lives.items()):
        stages = [s for s in STAGES if s <= (last or {}).get(blade, STAGES[-1])]
        rows += [f"{blade},{c},{s},{w:.3f}" for c, s, w in widths(life, stages, seed=seed)]
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text("\n".join(lines), encoding="utf-8")
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


PIECE = """
[[evidence.pieces]]
id = "leaf"
origin = "leaf spring"
makes_blades = 12
coating = "none"
lead = "no"
closed_hollow = false
loaded_spring = false
magnet = "strong"
sparks = "like high"
"""


COUPON = (
    PIECE
    + """
[[evidence.heats]]
coupon = "A1"
medium = "oil"
heat_c = 830
magnet = "lets go"
soak_min = 6
hardness_below = [63.5, 64]
grain = "fine"
"""
)


PACK = """
[evidence.pack]
heats = [{ temperature_c = 900, hours = 4.0, surface = "carburising" }]
sections = [{ thickness_mm = 1.0, removed_mm = 0.05 }]
"""
