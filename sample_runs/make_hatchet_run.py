"""A camp hatchet's chop test for a customer: the log and photographs from a stated truth.

Called by make_sample_runs.py. study.toml of the run is kept by hand; the pendulum timings
that stand in it come from the truth here and are kept in truth.json too.
"""

import csv
import json

import cv2
import numpy as np

from edgetest.chop.balance import effective_mass_kg
from edgetest.chop.tool_outline import Grind, Material, Part, outline, rigid_body
from edgetest.chop.wood import wood_of_species
from edgetest.photo.render.camera import expose
from edgetest.photo.render.side_scene import render_profile

SEED = 20261118
HATCHET, CONTROL = "H1", "C1"
# Chops per 100 cm² of coast Douglas-fir at 12 % moisture with a fresh edge.
FRESH_RATE = {HATCHET: 44.0, CONTROL: 58.0}
FRESH_DEPTH_MM = {HATCHET: 11.0, CONTROL: 8.6}
LOG_DULLING_PER_100 = 0.08
LOG_DEPTH_LOSS_PER_100 = 0.10
HARDNESS_EXPONENT = 0.55
SD_LOG_BILLETS, SD_LOG_BOARDS, SD_LOG_WOOD, SD_LOG_DEPTH = 0.09, 0.06, 0.12, 0.11
NEAR_MISSES = 0.05
REFERENCE_N = 3200.0
BOARDS = (("board a", "coast Douglas-fir", 12.0), ("board b", "coast Douglas-fir", 11.0),
          ("board c", "American beech", 10.0))  # fmt: skip
SIDE_MM, BILLET_LENGTH_MM = 60.0, 300.0
UM_PER_PX, SILHOUETTE_UM_PER_PX = 24.0, 400.0

# Place along the hatchet, back and edge side from the handle's middle line, mm.
HATCHET_SIDES = (
    (0, 12, 12), (6, 15, 18), (25, 14, 17), (60, 13, 14), (100, 13, 14), (125, 15, 15),
    (170, 14, 15), (220, 15, 16), (246, 17, 20), (256, 19, 34), (262, 20, 60), (268, 21, 69),
    (285, 22, 74), (305, 22, 75), (325, 21, 72), (336, 19, 66), (340, 14, 58),
)  # fmt: skip
HATCHET_THICKNESS = ((0, 6.4), (250, 6.4), (340, 6.0))
HATCHET_PARTS = (Part("ash scales", 58.0, 4, 122), Part("pins", 9.0, 15, 110))
# The control's widths; its silhouette is photographed, and the maker does not know them.
CONTROL_SIDES = (
    (0, 14, 20), (8, 16, 22), (30, 15, 15), (70, 15, 16), (110, 15, 19), (126, 17, 20),
    (132, 18, 26), (200, 19, 28), (270, 20, 32), (320, 20, 35), (360, 17, 32), (385, 10, 24),
    (397, 2, 12), (400, 0, 4),
)  # fmt: skip
CONTROL_THICKNESS = ((0, 6.0), (130, 6.0), (330, 4.6), (400, 2.6))
CONTROL_PARTS = (Part("micarta scales", 92.0, 4, 124), Part("pins", 8.0, 20, 110))
HOLDS = {HATCHET: (62.0, 302.0, 14.0), CONTROL: (66.0, 300.0, 12.0)}  # grip, strike, pivot

# Damage, mm along the edge from the heel, length and depth; a roll is negative.
# The hatchet's nick is from its grinding and stays what it was; its roll comes of the chopping.
NICK = (24.4, 0.62, 0.13, "notch")
HATCHET_ROLL = (15.5, 1.3, -0.12, "dent")
CONTROL_CHIPS = ((12.2, 0.9, 0.24, "bowl"), (30.3, 1.2, 0.36, "bowl"))


def make_hatchet_run(folder):
    """Log, photographs and truth of the run."""
    rng = np.random.default_rng(SEED)
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    photos = side_views(folder / "photos", rng)
    outlines = {
        HATCHET: outline_of(HATCHET_SIDES, HATCHET_THICKNESS, HATCHET_PARTS, 255, 0.45, 0.6),
        CONTROL: outline_of(CONTROL_SIDES, CONTROL_THICKNESS, CONTROL_PARTS, 132, 0.9, 0.5),
    }
    silhouette_photo(folder / "photos" / "C1_silhouette.jpg", rng)
    woods = {name: true_hardness(species, moisture, rng) for name, species, moisture in BOARDS}
    rows, final = chop_log(woods, rng)
    write_rows(folder / "chops.csv", rows)
    everything = {
        "label": "invented data, made from the truth below",
        "seed": SEED,
        "fresh_chops_per_100_cm2": FRESH_RATE,
        "log_dulling_per_100_chops": LOG_DULLING_PER_100,
        "fresh_depth_mm": FRESH_DEPTH_MM,
        "log_depth_loss_per_100_chops": LOG_DEPTH_LOSS_PER_100,
        "hardness_exponent": HARDNESS_EXPONENT,
        "board_hardness_n": woods,
        "chops_in_all": final,
        "swing": {name: swing(outlines[name], *HOLDS[name], rng) for name in outlines},
        "photos": photos,
    }
    (folder / "truth.json").write_text(json.dumps(everything, indent=1) + "\n", encoding="utf-8")


def outline_of(sides, thickness, parts, grind_from, ground, edge):
    """The tool as it truly is: a little thicker than the caliper says, its own density."""
    x, back, front = np.array(sides, dtype=float).T
    thick_x, thick = np.array(thickness, dtype=float).T
    return outline(
        x, back + front, thick_x, thick + 0.04, grind=Grind(edge, ground, grind_from),
        parts=parts, material=Material(7835.0), centre_mm=(back - front) / 2,
    )  # fmt: skip


def swing(shape, grip_mm, strike_mm, pivot_mm, rng):
    """True balance and percussion centre, and what a stopwatch reads of 20 swings, three times."""
    mass, balance, inertia = (float(one) for one in rigid_body(shape))
    arm = balance - pivot_mm / 1e3
    period = 2 * np.pi * np.sqrt((inertia + mass * arm**2) / (mass * 9.8066 * arm))
    period *= 1 + np.deg2rad(10.0) ** 2 / 16
    seconds = np.round(20 * period + 0.08 * rng.standard_normal(3), 2)
    reach = balance - grip_mm / 1e3
    about_grip = inertia + mass * reach**2
    return {
        "mass_g": 1e3 * mass,
        "balance_mm": 1e3 * balance,
        "inertia_grip_kg_cm2": 1e4 * about_grip,
        "percussion_mm": grip_mm + 1e3 * about_grip / (mass * reach),
        "effective_mass_free_g": 1e3 * effective_mass_kg(mass, balance, inertia, strike_mm / 1e3),
        "seconds_of_20_swings": seconds.tolist(),
    }


def true_hardness(species, moisture, rng):
    """Side hardness of one board, N: its species' and a board's own departure."""
    usual = wood_of_species(species, moisture_pct=moisture).side_hardness_n.value
    return float(usual * np.exp(SD_LOG_WOOD * rng.standard_normal()))


def chop_log(woods, rng):
    """The whole afternoon in turn, and the chops that each blade made."""
    log = Afternoon(rng)
    for name in (HATCHET, CONTROL):
        log.look(name, "before")
    for number, (board, species, moisture) in enumerate(BOARDS):
        log.singles(3)
        extra = np.exp(SD_LOG_BOARDS * rng.standard_normal())
        for _ in range(2):
            for name in (HATCHET, CONTROL):
                log.billet(name, board, species, moisture, woods[board], extra)
        if number == 1:
            log.add(HATCHET, "inspection", chips_count=0, rolls_count=0, note="by the lamp")
    log.singles(3)
    log.add(HATCHET, "rope", order=1, result="pass", note="25 mm sisal hanging free, one cut")
    log.add(HATCHET, "knot", order=1, result="pass", note="through a 30 mm spruce knot")
    for order in (1, 2, 3):
        log.add(HATCHET, "antler", order=order, result="pass", note="three chops into red deer")
    for name in (HATCHET, CONTROL):
        log.add(name, "shave", order=1, result="pass", note="arm hair, with the edge that chopped")
    for name in (HATCHET, CONTROL):
        log.look(name, "after")
    return log.rows, {name: int(made) for name, made in log.made.items()}


class Afternoon:
    """Rows as they come, and how far each edge has been used."""

    def __init__(self, rng):
        self.rng, self.rows = rng, []
        self.made = {HATCHET: 0, CONTROL: 0}
        self.orders = {}

    def add(self, blade, kind, **cells):
        """One row."""
        self.rows.append({"blade": blade, "kind": kind, **cells})

    def next(self, blade, kind):
        """Number of this piece in the blade's run."""
        self.orders[blade, kind] = self.orders.get((blade, kind), 0) + 1
        return self.orders[blade, kind]

    def billet(self, blade, board, species, moisture, hardness, extra):
        """One severed billet of the board."""
        area = SIDE_MM**2 / 100
        mean = FRESH_RATE[blade] * area / 100 * extra
        mean *= (hardness / REFERENCE_N) ** HARDNESS_EXPONENT
        mean *= np.exp(LOG_DULLING_PER_100 * (self.made[blade] + mean / 2) / 100)
        chops = max(1, round(mean * np.exp(SD_LOG_BILLETS * self.rng.standard_normal())))
        density = {"coast Douglas-fir": 520.0, "American beech": 700.0}[species]
        density *= (hardness / wood_of_species(species, moisture_pct=moisture)
                    .side_hardness_n.value) ** 0.5  # fmt: skip
        mass = density * area * BILLET_LENGTH_MM / 1e4 * self.rng.normal(1, 0.01)
        self.add(
            blade, "billet", order=self.next(blade, "billet"), chops=chops,
            near_misses=int(self.rng.binomial(chops, NEAR_MISSES)), width_mm=SIDE_MM,
            thickness_mm=SIDE_MM, length_mm=BILLET_LENGTH_MM, mass_g=round(mass),
            species=species, moisture_pct=moisture, knots=0, grain="straight", board=board,
        )  # fmt: skip
        self.made[blade] += chops

    def singles(self, count):
        """Single chops of both blades in turn, on the depth board."""
        for _ in range(count):
            for blade in (HATCHET, CONTROL):
                depth = FRESH_DEPTH_MM[blade]
                depth *= np.exp(-LOG_DEPTH_LOSS_PER_100 * self.made[blade] / 100)
                depth *= np.exp(SD_LOG_DEPTH * self.rng.standard_normal())
                order = self.next(blade, "single")
                cells = {"order": order, "depth_mm": round(depth, 1), "board": "depth board"}
                if (blade, order) == (CONTROL, 8):
                    cells["mishap"] = "glanced off the clamp"
                    cells["exclude"] = "the edge met the clamp, not the wood"
                self.add(blade, "single", **cells)
                self.made[blade] += 1

    def look(self, blade, when):
        """The edge under the lamp and in side views."""
        counts = {"before": (0, 0), "after": (0, 1) if blade == HATCHET else (2, 0)}[when]
        places = ("heel", "toe") if blade == HATCHET else ("belly",)
        for number, place in enumerate(places):
            cells = {"photo": f"{blade}_{when}_{place}.jpg", "scale": "side"}
            if number == 0:
                cells |= {"chips_count": counts[0], "rolls_count": counts[1]}
                if counts[0]:
                    cells["largest_chip_mm"] = 1.2
            self.add(blade, "inspection", **cells)


def side_views(folder, rng):
    """Back-lit side views before and after, and the truth of each."""
    shots = {
        f"{HATCHET}_before_heel": (0.0, [NICK]),
        f"{HATCHET}_before_toe": (39.0, []),
        f"{HATCHET}_after_heel": (0.0, [NICK, HATCHET_ROLL]),
        f"{HATCHET}_after_toe": (39.0, []),
        f"{CONTROL}_before_belly": (0.0, []),
        f"{CONTROL}_after_belly": (0.0, list(CONTROL_CHIPS)),
    }
    truths = {}
    for name, (start_mm, damage) in shots.items():
        # An edge keeps its grinding: before and after share it, so they can be laid together.
        edge = np.random.default_rng([SEED, ord(name[0]), int(start_mm)])
        picture, truth = side_view(start_mm, damage, rng, edge)
        cv2.imwrite(str(folder / f"{name}.jpg"), picture, [cv2.IMWRITE_JPEG_QUALITY, 82])
        truths[f"{name}.jpg"] = truth
    return truths


def side_view(start_mm, damage, rng, edge):
    """One photograph of some 39 mm of edge, from `start_mm` on; hand-held, so a little shifted."""
    rows, cols = 520, 1640
    long_mm = cols * UM_PER_PX / 1e3
    shift = rng.uniform(-0.4, 0.4)
    here = []
    for place, length, depth, shape in damage:
        at = (place - start_mm + shift) / long_mm
        if 0.03 < at < 0.97:
            here.append(
                {
                    "position": at,
                    "length_px": 1e3 * length / UM_PER_PX,
                    "depth_px": 1e3 * depth / UM_PER_PX,
                    "shape": shape,
                }
            )
    return render_profile(
        shape=(rows, cols), um_per_px=UM_PER_PX, side="top", tilt_deg=rng.uniform(-1.5, 1.5),
        curve=0.03, damage=here, roughness_px=0.4, rough_length_px=5.0, uneven=0.12, dust=3,
        blur_px=1.3, noise=0.006, rng=rng,
        edge_rng=edge, edge_start_px=1e3 * (0.5 - shift) / UM_PER_PX, edge_kept=0.9,
    )  # fmt: skip


def silhouette_photo(path, rng):
    """The control on a light sheet, from above."""
    x, back, front = np.array(CONTROL_SIDES, dtype=float).T
    mm = SILHOUETTE_UM_PER_PX / 1e3
    rows, cols, fine = 260, 1120, 4
    points = np.vstack([np.column_stack([x, -back]), np.column_stack([x, front])[::-1]])
    points = (points + np.array([24.0, 52.0])) / mm
    canvas = np.zeros((rows * fine, cols * fine), np.uint8)
    cv2.fillPoly(canvas, [np.rint(points * fine * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    cover = cv2.resize(canvas, (cols, rows), interpolation=cv2.INTER_AREA) / 255.0
    light = 0.75 * (1 - cover) + 0.09 * cover
    cv2.imwrite(str(path), expose(light.astype(np.float32), noise=0.006, rng=rng),
                [cv2.IMWRITE_JPEG_QUALITY, 85])  # fmt: skip


def write_rows(path, rows):
    """The chop log, its columns in the order of the guide."""
    order = ("blade", "kind", "order", "chops", "near_misses", "width_mm", "thickness_mm",
             "length_mm", "mass_g", "species", "moisture_pct", "grain", "knots", "depth_mm",
             "chips_count", "largest_chip_mm", "rolls_count", "result", "board", "photo", "scale",
             "mishap", "exclude", "note")  # fmt: skip
    with path.open("w", newline="", encoding="utf-8") as handle:
        writer = csv.DictWriter(handle, fieldnames=order, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
