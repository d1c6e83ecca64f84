"""What does each test show of a piece drawn from the tables of steels themselves?"""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np

from edgetest.steel.fit_for_use import EDGE_MM
from edgetest.steel.piece_likelihood import (
    BIN_EDGES,
    FOUND_BINS,
    SAME_FROM,
    SAME_TO,
    SHOWN_WRONGLY,
    WRONG_TRIAL,
    heat_chances,
)
from edgetest.steel.steel_nodes import (
    A1_C,
    CASED,
    DONE,
    SteelNodes,
    done_chances,
    done_hrc,
    quenched_hrc,
    temper_kept,
)
from edgetest.steel.steel_seen import (
    COLOURS,
    MAGNETS,
    ORIGINS,
    SPARKS,
    USES,
    HardnessSeen,
    HeatSeen,
    PieceSeen,
    TemperSeen,
    TrialSeen,
)
from edgetest.steel.steel_tables import STEELS
from tests.benchmarks.steel_own_draws import bracket, drawn_log_life, fit_chance, one_node, word
from tests.benchmarks.steel_worlds.bench_of_steel import TYPED_LIFE_U, USUAL_HEAT_C, Bench

FOUND_FROM_TO = (15.0, *BIN_EDGES, 67.0)  # ends of the bins of hardness as found
BREAK_ROWS = ("under_30", "to_45", "to_57", "from_57")
SISTERS = ("A", "B", "C", "D")
HAS_INSTRUMENT = 0.5  # our choice
SECTIONS_MM = (3.0, 5.0, 8.0)


@dataclass(frozen=True)
class OwnPiece:
    """A steel of the tables: its kind, its node, the logarithm of its life, where it is from."""

    steel: int
    node: SteelNodes
    log_life: float
    origin: str


@dataclass
class OwnHeat:
    """One heat: what was done in it and what came of it, beside what was written."""

    piece_id: str
    aim_c: float
    seen: HeatSeen
    done: int
    hrc: float
    softer_hrc: float  # of a skin that lost its carbon
    case_hrc: float | None
    deep: bool  # a case deeper than the grinding
    tempers: tuple[float, ...] = ()

    def at(self, core_hrc, where):
        """Hardness on the skin or below it, where the core has one."""
        if where == "skin" and self.softer_hrc:
            return max(core_hrc - self.softer_hrc, 10.0)
        cased = self.case_hrc is not None and (self.deep or where == "skin")
        return self.case_hrc if cased else core_hrc


class OwnBench(Bench):
    """A maker at work on alike pieces; every answer is drawn by the chances of the tables."""

    def __init__(self, rng, tables, piece, use):
        self.tables = tables
        self.bias = rng.normal(0, tables.numbers["reading"]["shared"]["u_hrc"])
        self.instrument = rng.random() < HAS_INSTRUMENT
        maker = SimpleNamespace(soak_min=5.0)
        super().__init__(rng, maker, dict.fromkeys(SISTERS, piece), use)
        self.look(self.asked, "magnet")
        self.look(self.asked, "sparks")

    def put_down(self, piece_id):
        """Write down that the piece lies on the bench."""
        self.pieces[piece_id] = PieceSeen(
            piece_id,
            origin=self.lot[piece_id].origin,
            lot="heap",
            makes_blades=self.makes if piece_id == self.asked else None,
        )

    def look(self, piece_id, what):
        """Magnet, sparks, or a look for a coating, of which there is none; seen once."""
        if what == "coating":
            self.write(piece_id, coating="none", lead="no")
        elif getattr(self.pieces[piece_id], what) is None:
            words = MAGNETS if what == "magnet" else SPARKS
            steel = self.lot[piece_id].steel
            self.write(piece_id, **{what: word(self.rng, self.tables, what, steel, words)})

    def place(self, ground=None, *, blade=False):
        """Skin or below it: even chances until the maker was told to grind."""
        if ground or blade or self.grinds:
            return "below"
        return str(self.rng.choice(["skin", "below"]))

    def read(self, hrc, where):
        """A bracket of files."""
        return HardnessSeen(*bracket(self.rng, self.tables, hrc, self.bias), where)

    def file_as_found(self, piece_id, ground=None):
        """Files on the piece as found: a bin of the tables, even within it."""
        where = self.place(ground)
        steel = self.lot[piece_id].steel
        found = word(self.rng, self.tables, f"found_{where}", steel, FOUND_BINS)
        at = FOUND_BINS.index(found)
        one = self.read(self.rng.uniform(*FOUND_FROM_TO[at : at + 2]), where)
        self.write(piece_id, hardness=(*self.pieces[piece_id].hardness, one))

    def quench(self, piece_id, medium, aim_c=USUAL_HEAT_C, *, soak=None, cycles=None, blade=False):
        """Quench one coupon (or blade) of the piece and file it."""
        piece, rng, tables = self.lot[piece_id], self.rng, self.tables
        number = sum(one.piece_id == piece_id for one in self.made) + 1
        told = HeatSeen(
            piece_id, coupon=f"{piece_id}{number}", medium=medium, soak_min=soak, cycles=cycles,
            section_mm=EDGE_MM if blade else float(rng.choice(SECTIONS_MM)),
            heat_c=aim_c if self.instrument else None,
            colour=None if self.instrument else self._colour(aim_c),
            blade=f"U{number}" if blade else None,
        )  # fmt: skip
        done = rng.choice(len(DONE), p=done_chances(told, tables)[:, piece.steel])
        full = quenched_hrc(piece.node, tables, medium, told.section_mm)
        mean, sd = done_hrc(piece.node, tables, full)
        skin, case = tables.numbers["skin"]["decarburised"], tables.numbers["skin"]["case"]
        bare = rng.random() < skin["chance"]
        cased = piece.steel == CASED and DONE[done] != "too_cold"
        one = OwnHeat(
            piece_id, aim_c, told, done, rng.normal(mean[done, 0], sd[done, 0]),
            rng.normal(skin["softer_hrc"], skin["spread_hrc"]) if bare else 0.0,
            rng.normal(case["hrc"], case["spread_hrc"]) if cased else None,
            rng.random() < case["deeper"],
        )  # fmt: skip
        with_crack, all_heats = (
            heat_chances(seen, (), piece.node, tables).by_done[done].item()
            for seen in (replace(told, cracked=1), told)
        )
        one.seen = replace(told, cracked=int(rng.random() < with_crack / all_heats))
        self.made.append(one)
        self.file_coupon(len(self.made) - 1)
        return len(self.made) - 1

    def _colour(self, aim_c):
        """The colour whose heat in the tables lies nearest."""
        rows = self.tables.numbers["heat"]
        return min(COLOURS, key=lambda colour: abs(A1_C + rows[colour]["above_c"] - aim_c))

    def file_coupon(self, at, ground=None):
        """File a quenched coupon, before any temper."""
        one = self.made[at]
        where = self.place(ground, blade=one.seen.blade is not None)
        reading = self.read(one.at(one.hrc, where), where)
        one.seen = replace(one.seen, hardness=(*one.seen.hardness, reading))

    def break_coupon(self, at):
        """Break the coupon and look at its grain."""
        one = self.made[at]
        row = BREAK_ROWS[int(np.searchsorted(BIN_EDGES, one.hrc))]
        how = self._word("break", row)
        grain = self._word("grain", DONE[one.done])
        broke = how in ("snapped_clean", "bent_then_broke")
        one.seen = replace(one.seen, fracture=how, grain=grain if broke else None)

    def _word(self, section, row):
        """A word drawn from a row of weights."""
        chances = self.tables.chances(section, row)
        p = np.array(list(chances.values()))
        return list(chances)[self.rng.choice(p.size, p=p / p.sum())]

    def temper(self, at, t_c, minutes=60.0, *, for_use=False):
        """Temper the coupon once and file it again; the hottest temper counts."""
        one = self.made[at]
        one.tempers = (*one.tempers, t_c)
        kept, spread = temper_kept(self.tables, max(one.tempers), minutes / 60)
        steel = self.lot[one.piece_id].steel
        core = self.rng.normal(kept[steel] * one.hrc, spread[steel])
        where = self.place(blade=one.seen.blade is not None)
        told = TemperSeen(t_c, minutes, 1, (self.read(one.at(core, where), where),), for_use)
        one.seen = replace(one.seen, tempers=(*one.seen.tempers, told))

    def _edge_row(self, one):
        """What the edge gives out like: a soft one as after a cold heat."""
        under, steel = self.tables.numbers["soft_edge"]["under"], self.lot[one.piece_id].steel
        kept = temper_kept(self.tables, max(one.tempers, default=20.0), 1.0)[0][steel]
        edge_hrc = one.case_hrc if one.case_hrc is not None and one.deep else one.hrc
        soft = kept * edge_hrc < self.rng.normal(under["hrc"], under["spread_hrc"])
        return "too_cold" if soft else DONE[one.done]

    def trial(self, at, test, *, counted=None):
        """Try a tempered blade beside the known one: its life, and how its edge gave out."""
        one, rng = self.made[at], self.rng
        words = {}
        if test != "rope":
            words["edge"] = self._word("edge", self._edge_row(one))
        if test in ("rope", "chop"):
            factor = self.tables.numbers["life_heat"][DONE[one.done]]["ratio"]
            once = self.tables.numbers["life_heat"]["trial"]["spread"]
            log = rng.normal(np.log(factor) + self.lot[one.piece_id].log_life, once)
            same = np.log(SAME_FROM) <= log <= np.log(SAME_TO)
            words["result"] = "same" if same else ("better" if log > 0 else "worse")
            if rng.random() < WRONG_TRIAL:
                shown = list(SHOWN_WRONGLY.values())
                words["result"] = str(rng.choice(list(SHOWN_WRONGLY), p=shown))
            elif rng.random() < 0.5 if counted is None else counted:
                ratio = float(np.exp(rng.normal(log, TYPED_LIFE_U)))
                words |= {"life_ratio": ratio, "life_ratio_log_u": TYPED_LIFE_U}
        self.trials.append(
            TrialSeen(one.piece_id, test, heat=(one.seen.coupon, one.seen.heat), **words)
        )

    def laboratory(self, piece_id):
        """Carbon by a laboratory, as unsure as the piece says of it."""
        true, u = self.lot[piece_id].node.carbon_pct.item(), self.pieces[piece_id].carbon_u_pct
        self.write(piece_id, carbon_pct=max(0.01, round(self.rng.normal(true, u), 3)))


@dataclass(frozen=True)
class OwnLot:
    """A lot of alike pieces on the bench, and the chance of each to be fit."""

    bench: OwnBench
    lot_fit: tuple[float, ...]


def own_lot(tables, size, seed, number):
    """Draw a lot of one steel. Its chance to be fit stands for a draw of it: less noise."""
    rng = np.random.default_rng([seed, number])
    origin, use = str(rng.choice(ORIGINS)), str(rng.choice(USES))
    steel = rng.choice(len(STEELS), p=tables.prior(origin))
    node = one_node(rng, tables, steel)
    piece = OwnPiece(steel, node, drawn_log_life(rng, tables, steel), origin)
    chance = fit_chance(tables, node, steel, use, piece.log_life)
    return OwnLot(OwnBench(rng, tables, piece, use), (chance,) * size)
