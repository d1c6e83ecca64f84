"""What does a maker see when one more test is made? The hidden steel answers each test."""

import math
from dataclasses import replace

from edgetest.steel.steel_seen import HeatSeen, PieceSeen, SteelSeen, TemperSeen, TrialSeen
from tests.benchmarks.steel_worlds import seeing
from tests.benchmarks.steel_worlds.articles import any_of
from tests.benchmarks.steel_worlds.austenite import ac1, grain_before
from tests.benchmarks.steel_worlds.blades_of_steel import USES, brittle, life_log
from tests.benchmarks.steel_worlds.hardening import BATH_C, SEVERITY, crack_chance, hardened
from tests.benchmarks.steel_worlds.softening import tempered_hrc

# Common practice, no source, all of them.
USUAL_HEAT_C = 805.0
USUAL_TEMPER_C = {"chopper": 235.0, "hedging_tool": 265.0, "knife": 195.0, "chisel": 195.0}
TEMPER_SCATTER_C = 10.0
SEVERITY_SCATTER_LOG = 0.15
SKIN_MM = 0.08  # a few strokes of the file, or a tester's point, through the scale
BURNT_MM = 0.045  # carbon lost: times the root of minutes, at 870 °C; common practice
GROUND_MM = (0.3, 1.2)
DEEPER_MM = 1.0
BLADE_GROUND_MM = (1.0, 3.0)  # forged and ground: its flats lie deeper in the old piece
EDGE_MM = 4.0  # and its edge in the core
MIX_OF_PLACES = 0.55  # a reading whose place is not told was taken below the skin so often
SPARKS_ON_SKIN = 0.3
RUN_SCATTER_LOG = 0.15
TYPED_LIFE_U = 0.15
LEAST_LIFE_TOLD = 0.03  # a blade dull at the first cut is logged as that
AS_GOOD = 0.15  # log: within this a maker says "same"
EDGE_SPARE_HRC = 1.5  # beyond the band of the use the edge rolls, or chips
SOFT_COUPON_HRC = 60.0  # a blade that reads no harder is tempered this much cooler:
COOLER_TEMPER_C = 45.0


class Heated:
    """One heat of a coupon or blade: what is hidden beside what was written."""

    def __init__(self, piece_id, heat, section_mm, grain, burnt_mm, severity):
        self.piece_id, self.heat, self.section_mm = piece_id, heat, section_mm
        self.grain, self.burnt_mm, self.severity = grain, burnt_mm, severity
        self.tempers = []  # (true °C, hours)
        self.seen = None
        self.aim_c = 0.0

    def state(self, piece, depth_mm):
        """State as quenched at a depth."""
        c = piece.carbon_at(depth_mm, self.burnt_mm)
        return hardened(piece.steel, c, self.heat, self.section_mm, self.grain)

    def hrc(self, piece, depth_mm, *, tempered=True):
        """Hardness at a depth, after all tempers so far."""
        state = self.state(piece, depth_mm)
        if not (tempered and self.tempers):
            return state.hrc
        hottest = max(t for t, _ in self.tempers)
        hours = sum(h for t, h in self.tempers if t > hottest - 15)
        return tempered_hrc(piece.steel, state, hottest, hours)


class Bench:
    """A maker at work on a lot: each method is one test and adds what was seen."""

    def __init__(self, rng, person, lot, use, *, makes=None):
        self.rng, self.person, self.use = rng, person, use
        self.lot = lot  # id: Piece; the first is asked about
        self.asked = next(iter(lot))
        self.pieces, self.made, self.trials = {}, [], []
        self.makes = makes
        self.grinds = 0  # how often told to grind first: a maker goes on so, and deeper each time
        self.put_down(self.asked)

    def put_down(self, piece_id):
        """Write down that the piece lies on the bench."""
        piece = self.lot[piece_id]
        said = piece.origin if self.rng.random() > 0.3 else "unknown"
        self.pieces[piece_id] = PieceSeen(
            piece_id,
            origin=said,
            lot="heap" if len(self.lot) > 1 else None,
            makes_blades=self.makes if piece_id == self.asked else None,
            thickness_mm=round(piece.thickness_mm, 1) if self.rng.random() < 0.5 else None,
        )

    def seen(self):
        """All that was written so far."""
        return SteelSeen(
            self.use,
            tuple(self.pieces.values()),
            tuple(m.seen for m in self.made),
            tuple(self.trials),
        )

    def write(self, piece_id, **words):
        """Write words to a piece."""
        self.pieces[piece_id] = replace(self.pieces[piece_id], **words)

    def look(self, piece_id, what):
        """One glance at the piece as found: magnet, sparks, coating, forging, or its break."""
        piece, rng = self.lot[piece_id], self.rng
        if what == "magnet":
            self.write(piece_id, magnet=seeing.magnet_seen(rng, piece.steel))
        elif what == "sparks":
            depth = 0.15 if rng.random() < SPARKS_ON_SKIN else 2.5
            c = piece.carbon_at(depth)
            plated = piece.steel.name == "bronze_plated" and depth < 1
            words = {
                "sparks": seeing.sparks_seen(rng, self.person, piece.steel, 0.0 if plated else c)
            }
            if rng.random() < 0.5:
                words["stream"] = seeing.stream_seen(rng, piece.steel, c, plated)
            self.write(piece_id, **words)
        elif what == "coating":
            self.write(piece_id, coating=piece.coating, lead="no")
        elif what == "forging":
            self.write(piece_id, forging=seeing.forging_seen(rng, piece.steel))
        elif what == "fracture":
            skin, core = piece.found_hrc(SKIN_MM), piece.core_hrc
            self.write(piece_id, fracture=seeing.break_seen(rng, piece.steel, skin, core))

    def place(self, ground=None, *, blade=False):
        """Where a reading is taken: the depth, and the word that is written."""
        rng = self.rng
        if blade:
            return any_of(*BLADE_GROUND_MM, rng), "below"
        ground = True if ground is None and self.grinds else ground
        below = rng.random() < MIX_OF_PLACES if ground is None else ground
        depth = any_of(*GROUND_MM, rng) + max(0, self.grinds - 1) * DEEPER_MM if below else SKIN_MM
        told = ground is not None or rng.random() < self.person.says_where
        return depth, ("below" if below else "skin") if told else "not_stated"

    def read(self, hrc, where):
        """A reading, once in fifty of the wrong coupon."""
        if self.rng.random() < seeing.WRONG_COUPON:
            hrc = any_of(25.0, 64.0, self.rng)
        return seeing.reading(self.rng, self.person, hrc, where)

    def file_as_found(self, piece_id, ground=None):
        """Files, or the tester, on the piece as found."""
        depth, where = self.place(ground)
        one = self.read(self.lot[piece_id].found_hrc(depth), where)
        self.write(piece_id, hardness=(*self.pieces[piece_id].hardness, one))

    def quench(self, piece_id, medium, aim_c=USUAL_HEAT_C, *, soak=None, cycles=None, blade=False):
        """Quench one coupon (or blade) of the piece and try its hardness."""
        piece, rng, person = self.lot[piece_id], self.rng, self.person
        scatter = seeing.INSTRUMENT_SCATTER_C if person.has_instrument else seeing.EYE_SCATTER_C
        t_c = aim_c + person.heat_bias_c + scatter * float(rng.normal())
        soak = person.soak_min if soak is None else soak
        cycles = person.cycles if cycles is None else cycles
        section = USES[self.use].edge_mm if blade else any_of(2.5, 8.0, rng)
        forged = blade or rng.random() < 0.35
        grain = grain_before(forged, cycles, piece.grain_um)
        burnt = BURNT_MM * math.sqrt(soak + 2) * max(0.0, t_c - 720) / 150 * person.forge_burns
        severity = SEVERITY[medium] * math.exp(SEVERITY_SCATTER_LOG * float(rng.normal()))
        heat = (t_c, soak, severity, BATH_C[medium])
        one = Heated(piece_id, heat, section, grain, burnt, severity)
        one.aim_c = aim_c
        number = sum(m.piece_id == piece_id for m in self.made) + 1
        told = rng.random() < 0.75
        magnet = None
        if rng.random() < 0.35:
            gone = t_c > min(seeing.CURIE_C, ac1(piece.steel) + 20)
            wrong = rng.random() < seeing.FEW_WRONG
            magnet = "lets_go" if gone != wrong else "holds"
        core = one.state(piece, 1.0)
        count = 1 if rng.random() < 0.8 else 2
        cracked = sum(rng.random() < crack_chance(core, severity, section) for _ in range(count))
        one.seen = HeatSeen(
            piece_id, coupon=f"{piece_id}{number}", heat=1, medium=medium,
            heat_c=round(aim_c / 5) * 5.0 if person.has_instrument and told else None,
            colour=seeing.colour_seen(rng, person, t_c)
            if told and not person.has_instrument else None,
            magnet=magnet, soak_min=soak if rng.random() < 0.5 else None,
            cycles=cycles if rng.random() < 0.6 else None,
            section_mm=round(section, 1) if rng.random() < 0.5 else None,
            cracked=cracked if cracked or rng.random() < 0.4 else None, count=count,
            blade=f"U{number}" if blade else None,
        )  # fmt: skip
        self.made.append(one)
        at = len(self.made) - 1
        self.file_coupon(at)
        if not blade and rng.random() < 0.25:
            self.break_coupon(at)
        return at

    def file_coupon(self, at, ground=None):
        """Try the hardness of a quenched coupon, before any temper."""
        one = self.made[at]
        depth, where = self.place(ground, blade=one.seen.blade is not None)
        hrc = one.hrc(self.lot[one.piece_id], depth, tempered=False)
        one.seen = replace(one.seen, hardness=(*one.seen.hardness, self.read(hrc, where)))

    def break_coupon(self, at):
        """Break the coupon and look at its grain."""
        one = self.made[at]
        piece = self.lot[one.piece_id]
        core, skin = one.state(piece, EDGE_MM), one.hrc(piece, SKIN_MM)
        grain = seeing.grain_seen(self.rng, core.grain_um)
        how = seeing.break_seen(self.rng, piece.steel, skin, one.hrc(piece, 2.5))
        one.seen = replace(
            one.seen,
            fracture=how,
            grain=grain if how in ("snapped_clean", "bent_then_broke") else None,
        )

    def temper(self, at, t_c, minutes=60.0, *, for_use=False):
        """Temper the coupon once and try it again."""
        one, rng = self.made[at], self.rng
        true_c = t_c + TEMPER_SCATTER_C * float(rng.normal())
        one.tempers.append((true_c, minutes / 60))
        depth, where = self.place(blade=one.seen.blade is not None)
        hrc = one.hrc(self.lot[one.piece_id], depth)
        told = TemperSeen(t_c, minutes, 1, (self.read(hrc, where),), for_use)
        one.seen = replace(one.seen, tempers=(*one.seen.tempers, told))

    def trial(self, at, test, *, counted=None):
        """Try a tempered blade beside the known one."""
        one, rng, person = self.made[at], self.rng, self.person
        piece = self.lot[one.piece_id]
        state, hrc = one.state(piece, EDGE_MM), one.hrc(piece, EDGE_MM)
        need = USES[self.use]
        chips = brittle(self.use, piece.steel, state, hrc) or hrc > need.high_hrc + EDGE_SPARE_HRC
        rolls = hrc < need.low_hrc - EDGE_SPARE_HRC
        words = {}
        if test in ("rope", "chop"):
            log = life_log(self.use, piece, state, hrc) + person.life_scatter_log * rng.normal()
            log = float(log + RUN_SCATTER_LOG * rng.normal())
            result = "same" if abs(log) < AS_GOOD else ("better" if log > 0 else "worse")
            words["result"] = result
            if rng.random() < 0.5 if counted is None else counted:
                ratio = max(LEAST_LIFE_TOLD, round(math.exp(log), 2))
                words |= {"life_ratio": ratio, "life_ratio_log_u": TYPED_LIFE_U}
            if test == "chop":
                words["edge"] = "chipped" if chips else ("rolled" if rolls else "sound")
        elif test == "brass_rod":
            words["edge"] = "chipped" if chips else ("rolled" if rolls else "sound")
        else:
            broke = chips or hrc > 60 + 2 * rng.normal()
            words["edge"] = "broke" if broke else ("took_a_set" if hrc < 50 else "sound")
        self.trials.append(
            TrialSeen(one.piece_id, test, heat=(one.seen.coupon, one.seen.heat), **words)
        )

    def best_heat(self, piece_id):
        """The heat whose coupon read hardest so far: its place in the list, or None."""
        best, at = -1.0, None
        for i, one in enumerate(self.made):
            if one.piece_id == piece_id and one.seen.hardness:
                low = max(reading.low_hrc or 35.0 for reading in one.seen.hardness)
                if low > best:
                    best, at = low, i
        return at

    def trial_blade(self, piece_id):
        """One whole trial blade: quenched as the best coupon was, tempered, tried."""
        best = self.best_heat(piece_id)
        medium, aim = "oil", USUAL_HEAT_C
        if best is not None:
            medium, aim = self.made[best].seen.medium, self.made[best].aim_c
        soak = max(self.person.soak_min, 5.0)
        at = self.quench(piece_id, medium, aim, soak=soak, cycles=2, blade=True)
        soft = (self.made[at].seen.hardness[0].high_hrc or 70) <= SOFT_COUPON_HRC
        t_c = USUAL_TEMPER_C[self.use] - (COOLER_TEMPER_C if soft else 0.0)
        self.temper(at, t_c, 120.0, for_use=True)
        struck = USES[self.use].struck
        self.trial(at, "chop" if struck else "rope", counted=self.rng.random() < 0.6)
        if self.rng.random() < 0.5:
            self.trial(at, "brass_rod")

    def second_piece(self, piece_id):
        """The plain tests on a sister piece, and a coupon where the first piece had one."""
        self.put_down(piece_id)
        self.look(piece_id, "sparks")
        self.file_as_found(piece_id)
        best = self.best_heat(self.asked)
        if best is not None:
            self.quench(piece_id, self.made[best].seen.medium, self.made[best].aim_c)

    def laboratory(self, piece_id):
        """Carbon by a laboratory, from a drilling."""
        depth = any_of(0.5, 2.5, self.rng)
        c = self.lot[piece_id].carbon_at(depth) + 0.015 * self.rng.normal()
        self.write(piece_id, carbon_pct=round(max(0.01, float(c)), 3))
