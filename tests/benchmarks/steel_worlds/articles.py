"""Which old articles hold which steel, and in which state do they lie in the heap?

Shares are common practice, no source: what smiths say of plough discs, springs and files.
"""

from dataclasses import dataclass, replace

from tests.benchmarks.steel_worlds.hardening import SEVERITY, hardened, hrc_of, hv_of
from tests.benchmarks.steel_worlds.softening import tempered_hrc
from tests.benchmarks.steel_worlds.steels import Steel, drawn_steel, sister_steel

# origin: (grade, parts in a hundred, state as found), then thickness in mm.
# States: rolled, annealed, tempered (and at what °C), case, induction, faced.
ARTICLES = {
    "plough_disc": (
        ((("disc_plain", 58, "tempered 420"), ("boron", 28, "tempered 250"),
          ("spring_chrome", 9, "tempered 430"), ("mild", 5, "rolled"))), (4, 8)),
    "harrow_tine": (
        (("spring_plain", 35, "tempered 430"), ("spring_silicon", 20, "tempered 440"),
         ("spring_chrome", 15, "tempered 430"), ("forty_five", 20, "tempered 450"),
         ("mild", 10, "rolled")), (10, 22)),
    "leaf_spring": (
        (("spring_chrome", 50, "tempered 440"), ("spring_silicon", 20, "tempered 440"),
         ("chrome_vanadium", 15, "tempered 440"), ("spring_plain", 15, "tempered 420")), (6, 12)),
    "coil_spring": (
        (("spring_silicon", 45, "tempered 420"), ("spring_chrome", 30, "tempered 430"),
         ("chrome_vanadium", 15, "tempered 430"), ("spring_plain", 10, "tempered 400")), (9, 18)),
    "file_or_rasp": ((("file", 82, "tempered 130"), ("case_plain", 18, "case")), (4, 8)),
    "saw_blade": (
        (("saw_nickel", 45, "tempered 400"), ("spring_plain", 25, "tempered 400"),
         ("chrome_tool", 25, "tempered 400"), ("mild", 5, "rolled")), (2, 6)),
    "ball_bearing": ((("bearing", 78, "tempered 170"), ("case_alloy", 22, "case")), (5, 20)),
    "axle_or_shaft": (
        (("forty_five", 30, "rolled"), ("chrome_moly", 22, "tempered 560"),
         ("induction_plain", 20, "induction"), ("induction_alloy", 8, "induction"),
         ("mild", 12, "rolled"), ("case_alloy", 8, "case")), (15, 30)),
    "gear": (
        (("case_alloy", 62, "case"), ("forty_five", 12, "rolled"),
         ("chrome_moly", 8, "tempered 550"), ("induction_plain", 13, "induction"),
         ("grey_iron", 5, "rolled")), (10, 25)),
    "chain": (
        (("case_plain", 28, "case"), ("forty_five", 22, "tempered 450"), ("mild", 22, "rolled"),
         ("case_alloy", 18, "case"), ("boron", 10, "tempered 300")), (3, 8)),
    "hand_tool": (
        (("tool_plain", 38, "tempered 380"), ("chrome_vanadium", 25, "tempered 400"),
         ("spring_plain", 20, "tempered 350"), ("mild", 7, "rolled"),
         ("chrome_tool", 10, "tempered 330")), (6, 25)),
    "planer_or_die": (
        (("high_speed", 38, "tempered 550"), ("cold_work_12", 18, "tempered 220"),
         ("oil_tool", 18, "tempered 200"), ("cold_work_5", 10, "tempered 200"),
         ("hot_work_5", 8, "tempered 580"), ("shock_air", 8, "tempered 250")), (3, 20)),
    "rebar": ((("mild", 55, "rolled"), ("wire_rod", 20, "rolled"), ("rebar_hard", 25, "rolled")),
              (10, 25)),
    "structural": ((("mild", 88, "rolled"), ("wire_rod", 12, "rolled")), (5, 20)),
    "pipe_or_tube": ((("mild", 80, "rolled"), ("forty_five", 8, "rolled"),
                      ("stainless_18_8", 12, "annealed")), (2, 6)),
    "rail": ((("rail", 92, "rolled"), ("manganese", 2, "annealed"), ("forty_five", 6, "rolled")),
             (15, 30)),
    "old_wrought": ((("wrought", 78, "annealed"), ("mild", 15, "rolled"),
                     ("case_plain", 7, "case")), (8, 25)),
    "casting": ((("grey_iron", 76, "rolled"), ("white_iron", 12, "rolled"),
                 ("forty_five", 12, "rolled")), (8, 25)),
    "kitchen_or_surgical": (
        (("cutlery_13", 45, "tempered 250"), ("cutlery_17", 28, "tempered 220"),
         ("stainless_17", 7, "annealed"), ("stainless_18_8", 20, "annealed")), (1.5, 4)),
    "wear_plate": ((("boron", 60, "tempered 220"), ("white_iron", 6, "rolled"),
                    ("chrome_moly", 22, "tempered 300"), ("mild", 12, "rolled")), (6, 20)),
    # Steels that nobody has in mind; they hide behind any origin.
    "odd": (
        (("manganese", 22, "annealed"), ("maraging", 12, "annealed"), ("sintered", 18, "rolled"),
         ("tungsten_hot_work", 18, "tempered 600"), ("hard_faced", 18, "faced"),
         ("bronze_plated", 12, "rolled")), (5, 20)),
}  # fmt: skip
ODD_LOOKS_LIKE = ("wear_plate", "hand_tool", "gear", "planer_or_die", "plough_disc", "unknown")
COATED = {"pipe_or_tube": "galvanised", "hand_tool": "plated", "structural": "painted",
          "plough_disc": "painted", "leaf_spring": "painted", "coil_spring": "painted"}  # fmt: skip
SHARE_COATED = 0.3
SHARE_HARD_CHROME = 0.12  # of axles and shafts: piston rods
BURNT = 0.04  # softened by a fire before it came to the heap
WEAR_SCATTER_LOG = 0.08  # from melt to melt, what hardness and carbides do not tell; no source
FACTORY_HEATS_C = {"high_speed": 1200.0, "cold_work_12": 1020.0, "cold_work_5": 960.0,
                   "hot_work_5": 1030.0, "shock_air": 950.0, "cutlery_13": 1020.0,
                   "cutlery_17": 1030.0, "tungsten_hot_work": 1120.0}  # fmt: skip
CASE_HRC = (58.0, 63.0)
INDUCTION_MM = (1.5, 3.0)
CASE_MM = (0.5, 2.0)
FACING_HRC = (50.0, 62.0)


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: its steel and what its life has left on it.

    `skin_c` is the carbon of a carburised case, `skin_mm` how deep a hard skin goes (0: none),
    `decarb_mm` how deep the carbon has gone, hardness as found in HRC.
    """

    origin: str
    steel: Steel
    thickness_mm: float
    skin_mm: float
    skin_c: float | None
    skin_hrc: float
    core_hrc: float
    decarb_mm: float
    coating: str
    wear_log: float
    grain_um: float

    def carbon_at(self, depth_mm, decarb_mm=0.0):
        """Carbon, %, at a depth under the skin; `decarb_mm` is what a forge has added."""
        lost = max(self.decarb_mm, decarb_mm)
        if depth_mm < lost:
            return self.steel.c * (0.25 + 0.75 * depth_mm / lost)
        if self.skin_c is not None and depth_mm < self.skin_mm:
            return self.skin_c
        return self.steel.c

    def found_hrc(self, depth_mm):
        """Hardness as found at a depth, HRC."""
        if depth_mm < self.skin_mm:
            return self.skin_hrc
        if depth_mm < self.decarb_mm:
            return self.core_hrc - 14 * (1 - depth_mm / self.decarb_mm)
        return self.core_hrc


def any_of(low, high, rng):
    """Anywhere between."""
    return low + (high - low) * rng.random()


def picked(rng, rows, weights):
    """One of the rows by its weight."""
    at = rng.random() * sum(weights)
    for row, weight in zip(rows, weights, strict=True):
        at -= weight
        if at < 0:
            return row
    return rows[-1]


def factory_hrc(steel, state, rng):
    """Hardness of the core as the factory left it, HRC."""
    t_c = FACTORY_HEATS_C.get(steel.name, 835.0)
    if state.startswith("tempered"):
        quenched = hardened(steel, steel.c, (t_c, 20.0, 1.5, 20.0), 4.0, 20.0)
        at_c = float(state.split()[1]) + 25 * rng.normal()
        return tempered_hrc(steel, quenched, at_c, 1.0)
    if state == "annealed":
        return hardened(steel, steel.c, (20.0, 1.0, 0.02, 20.0), 10.0, 20.0).hrc
    return hardened(steel, steel.c, (880.0, 20.0, SEVERITY["air"], 20.0), 25.0, 20.0).hrc


def drawn_piece(rng, origin):
    """One piece of an origin."""
    rows, thick = ARTICLES[origin]
    grade, _, state = picked(rng, rows, [row[1] for row in rows])
    steel = drawn_steel(rng, grade)
    skin_mm, skin_c, skin_hrc = 0.0, None, 0.0
    core = factory_hrc(steel, state, rng)
    if state == "case":
        skin_mm, skin_c = any_of(*CASE_MM, rng), any_of(0.75, 1.05, rng)
        skin_hrc = any_of(*CASE_HRC, rng)
        core = hardened(steel, steel.c, (860.0, 20.0, SEVERITY["oil"], 60.0), 12.0, 20.0).hrc
    elif state == "induction":
        skin_mm = any_of(*INDUCTION_MM, rng)
        skin_hrc = hardened(steel, steel.c, (880.0, 2.0, 2.0, 20.0), 3.0, 20.0).hrc - 2
    elif state == "faced":
        skin_mm, skin_hrc = any_of(1.5, 4.0, rng), any_of(*FACING_HRC, rng)
        skin_c = any_of(0.8, 2.5, rng)
    if rng.random() < BURNT and steel.body == "steel":
        core = min(core, hrc_of(hv_of(22) + 40 * rng.random()))
        skin_hrc = min(skin_hrc, 28.0)
    hot_worked = state.startswith("tempered") or state in ("rolled", "annealed")
    decarb = any_of(0.05, 0.5, rng) if hot_worked and rng.random() < 0.55 else 0.0
    coating = "none"
    if rng.random() < SHARE_COATED:
        coating = COATED.get(origin, "none")
    if origin == "axle_or_shaft" and rng.random() < SHARE_HARD_CHROME:
        coating = "hard_chrome"
    if grade == "bronze_plated":
        coating = "plated"
    if origin == "odd":
        origin = ODD_LOOKS_LIKE[int(rng.random() * len(ODD_LOOKS_LIKE))]
    return Piece(
        origin, steel, any_of(*thick, rng), skin_mm, skin_c, skin_hrc, core, decarb, coating,
        float(WEAR_SCATTER_LOG * rng.normal()), any_of(15.0, 40.0, rng),
    )  # fmt: skip


def sister_piece(rng, piece):
    """Another piece of the same melt and the same article."""
    return replace(
        piece,
        steel=sister_steel(rng, piece.steel),
        core_hrc=piece.core_hrc + float(rng.normal()),
        decarb_mm=piece.decarb_mm * (0.7 + 0.6 * rng.random()),
        skin_mm=piece.skin_mm * (0.85 + 0.3 * rng.random()),
    )
