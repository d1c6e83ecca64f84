"""Five worlds of salvaged steel: which pieces a shop picks, and what was done before it asks."""

import math
from dataclasses import dataclass, field

import numpy as np

from edgetest.steel.steel_seen import SteelSeen
from tests.benchmarks.steel_worlds.articles import Piece, drawn_piece, picked, sister_piece
from tests.benchmarks.steel_worlds.bench_of_steel import Bench
from tests.benchmarks.steel_worlds.blades_of_steel import LEAST_LIFE, Fitness, fitness
from tests.benchmarks.steel_worlds.seeing import FILE_BIAS_WILD_HRC, drawn_person

# How often each origin lies on the heap of a country smithy; common practice, no source.
EVERYDAY = {
    "plough_disc": 12, "harrow_tine": 6, "leaf_spring": 12, "coil_spring": 8, "file_or_rasp": 8,
    "saw_blade": 7, "ball_bearing": 3, "axle_or_shaft": 9, "gear": 5, "chain": 3, "hand_tool": 7,
    "planer_or_die": 4, "rebar": 6, "structural": 7, "pipe_or_tube": 2, "rail": 4,
    "old_wrought": 3, "casting": 2, "kitchen_or_surgical": 2, "wear_plate": 2,
}  # fmt: skip
HARDENED_SKINS = {"gear": 40, "axle_or_shaft": 36, "chain": 14, "ball_bearing": 6,
                  "file_or_rasp": 4}  # fmt: skip
SHARE_SKINS = 0.6  # of the third world; the rest is everyday
SHARE_ODD = 0.03
POOR_FIT = 0.2  # four of five unfit
USE_SHARES = {"chopper": 30, "hedging_tool": 20, "knife": 30, "chisel": 20}
STORIES = {"glance": 18, "filed": 20, "one_coupon": 22, "two_coupons": 18, "ladder": 14, "trial": 8}
SISTERS_SEEN = (0.65, 0.9)  # below: none; below: one; else two
LOT = 40


@dataclass(frozen=True)
class World:
    """One of the five."""

    name: str
    title: str
    hands_only: bool = False
    poor: bool = False
    skins: bool = False
    mixed: float = 0.06  # lots with more than one steel
    differs: float = 0.5  # sisters of a mixed lot that are another steel
    odd: float = 0.0
    stories: dict[str, int] = field(default_factory=lambda: dict(STORIES))


WORLDS = {
    w.name: w
    for w in (
        World("hand_work", "files and sparks only, a biased set, mixed origins", hands_only=True),
        World("poor_lots", "four of five pieces unfit", poor=True),
        World("hard_skins", "case-hardened and induction-hardened parts prevail", skins=True),
        World("mixed_lots", "sister pieces differ half of the time", mixed=0.85, differs=0.6),
        World("odd_steels", "three of a hundred are steels nobody has in mind", odd=SHARE_ODD),
    )
}


@dataclass
class Case:
    """One piece asked about: what was seen, and the truth behind it."""

    world: str
    seed: int
    number: int
    bench: Bench
    seen: SteelSeen
    piece: Piece
    truth: Fitness
    explanation: str
    lot_fit: tuple[bool, ...]  # of the LOT pieces, the asked one first
    blade_fit: bool  # one blade of it, with the luck of a blade, lives as long as is asked
    story: str = "blank"  # what the maker had done before asking

    @property
    def fit(self):
        """Whether the piece asked about is fit for the use."""
        return self.truth.fit


def _origin(rng, world):
    if world.odd and rng.random() < world.odd:
        return "odd"
    return picked(rng, tuple(EVERYDAY), tuple(EVERYDAY.values()))


def _drawn(rng, world):
    """A piece from the heap; where skins prevail, most have a hard one."""
    if not (world.skins and rng.random() < SHARE_SKINS):
        return drawn_piece(rng, _origin(rng, world))
    while True:
        origin = picked(rng, tuple(HARDENED_SKINS), tuple(HARDENED_SKINS.values()))
        piece = drawn_piece(rng, origin)
        if piece.skin_mm > 0:
            return piece


def _asked(rng, world, use):
    """The piece asked about; a poor world draws until it has what the share asks."""
    wanted = rng.random() < POOR_FIT if world.poor else None
    while True:
        piece = _drawn(rng, world)
        truth = fitness(use, piece)
        if wanted is None or truth.fit == wanted:
            return piece, truth


def _lot(rng, world, use, piece, truth):
    """The lot: LOT pieces with their fitness; of a mixed lot some are one other steel."""
    mixed = rng.random() < world.mixed
    other = other_truth = None
    if mixed:
        other = _drawn(rng, world)
        other_truth = fitness(use, other)
    lot, fits, changed = {"A": piece}, [truth.fit], []
    for i in range(1, LOT):
        swap = mixed and rng.random() < world.differs
        mother = other if swap else piece
        if i < 6:  # as many as a program may ask to see
            lot[chr(ord("A") + i)] = sister_piece(rng, mother)
        fits.append(other_truth.fit if swap else truth.fit)
        changed.append(swap and other.steel.name != piece.steel.name)
    return lot, tuple(fits), changed


def _glances(bench, piece_id, rng):
    bench.look(piece_id, "sparks")
    if rng.random() < 0.6:
        bench.look(piece_id, "magnet")
    if rng.random() < 0.5:
        bench.look(piece_id, "coating")
    if rng.random() < 0.35:
        bench.look(piece_id, "forging")


def _coupons(bench, piece_id, rng, many):
    """Oil first, mostly; then what the result calls for."""
    first = picked(rng, ("oil", "water", "warm_water", "air"), (72, 18, 7, 3))
    at = bench.quench(piece_id, first)
    if not many:
        return
    soft = (bench.made[at].seen.hardness[0].high_hrc or 70) <= 55
    if not soft:
        after = "air" if rng.random() < 0.15 else first
        bench.quench(piece_id, after)
    elif rng.random() < 0.6 and first != "water":
        bench.quench(piece_id, "water")
    else:
        bench.quench(piece_id, first, 850.0 if rng.random() < 0.6 else 905.0)


def _ladder(bench, piece_id, rng):
    at = bench.best_heat(piece_id)
    top = picked(rng, (260.0, 350.0, 550.0), (60, 30, 10))
    t_c = 180.0
    while t_c <= top:
        bench.temper(at, t_c)
        t_c += 40.0 if t_c < 300 else 100.0


def _story(bench, rng, world):
    """What the maker did before asking."""
    story = picked(rng, tuple(world.stories), tuple(world.stories.values()))
    asked = bench.asked
    if story != "glance" and rng.random() < 0.12:
        bench.look(asked, "magnet")  # straight to the fire, no sparks
    else:
        _glances(bench, asked, rng)
    if story in ("filed", "ladder", "trial") or (story != "glance" and rng.random() < 0.3):
        bench.file_as_found(asked)
        if rng.random() < 0.35:
            bench.file_as_found(asked, ground=True)
    if story in ("one_coupon", "two_coupons", "ladder", "trial"):
        _coupons(bench, asked, rng, story != "one_coupon")
    if story == "ladder" or (story == "trial" and rng.random() < 0.4):
        _ladder(bench, asked, rng)
    if story == "trial":
        bench.trial_blade(asked)
    if not world.hands_only and rng.random() < 0.04:
        bench.laboratory(asked)
    if rng.random() < 0.08:
        bench.look(asked, "fracture")
    chance = rng.random()
    for sister in tuple(bench.lot)[1:][: sum(chance >= at for at in SISTERS_SEEN)]:
        bench.second_piece(sister)
    return story


def case(world_name, seed, number, *, blank=False):
    """One case of a world: the same three arguments give the same case.

    `blank` leaves the evidence to the program: nothing but one look at the sparks was done.
    """
    world = WORLDS[world_name]
    rng = np.random.default_rng([seed, tuple(WORLDS).index(world_name), number])
    use = picked(rng, tuple(USE_SHARES), tuple(USE_SHARES.values()))
    piece, truth = _asked(rng, world, use)
    lot, fits, changed = _lot(rng, world, use, piece, truth)
    bias = {"file_bias": FILE_BIAS_WILD_HRC} if world.hands_only else {}
    person = drawn_person(rng, hands_only=world.hands_only, **bias)
    bench = Bench(rng, person, lot, use)
    story = "blank"
    if blank:
        bench.look("A", "sparks")
    else:
        story = _story(bench, rng, world)
    luck = math.exp(person.life_scatter_log * float(rng.normal()))
    explanation = piece.steel.code
    if any(changed[: len(bench.pieces) - 1]):
        explanation = "mixed_lot"
    return Case(
        world_name, seed, number, bench, bench.seen(), piece, truth, explanation, fits,
        truth.life * luck >= LEAST_LIFE, story,
    )  # fmt: skip
