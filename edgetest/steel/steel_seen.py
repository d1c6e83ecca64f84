"""What did the maker see of a steel? Plain observations; None was not looked at."""

from dataclasses import dataclass, replace

USES = ("chopper", "hedging_tool", "knife", "chisel")
ORIGINS = (
    "plough_disc", "harrow_tine", "leaf_spring", "coil_spring", "file_or_rasp", "saw_blade",
    "ball_bearing", "axle_or_shaft", "gear", "chain", "hand_tool", "planer_or_die", "rebar",
    "structural", "pipe_or_tube", "rail", "old_wrought", "casting", "kitchen_or_surgical",
    "wear_plate", "unknown",
)  # fmt: skip
COATINGS = ("none", "removed", "painted", "galvanised", "plated", "hard_chrome", "unknown")
LEADS = ("no", "suspected", "yes", "unknown")  # lead: in the steel (free-machining bar) or on it
MAGNETS = ("strong", "weak", "none")
SPARKS = ("fewer_than_low", "like_low", "between", "like_high", "more_than_high")  # bursts
# What one known steel shows alone, and which grades that leaves open.
BESIDE_ONE: dict[str, tuple[str, ...]] = {
    "more_than_low": SPARKS[2:],
    "fewer_than_high": SPARKS[:3],
}
SPARKS_TOLD = (*SPARKS, *BESIDE_ONE)
STREAMS = ("bright_forked", "straw_no_forks", "short_red", "almost_none")
FORGING = ("moves", "stiff", "crumbles", "splits_along_fibres")
MEDIA = ("air", "oil", "warm_water", "water", "brine")  # slower to faster
AS_BOUGHT = "factory"  # of stock that somebody else hardened: no quench of the maker's own
BLADE_NAME = "blade"  # what the program's own lines call a trial blade begins so
COLOURS = ("below_red", "dull_red", "cherry", "bright_cherry", "orange", "yellow")
MAGNET_AT_HEAT = ("holds", "lets_go")  # at the moment before the quench
GRAINS = ("fine", "medium", "coarse")
BREAKS = ("snapped_clean", "bent_then_broke", "did_not_break", "fibrous", "grey_crumbly")
# What tells that a coupon went through a heat, beside a reading, a temper or a trial of it.
OF_QUENCH = (
    "medium", "medium_c", "heat_c", "colour", "magnet", "soak_min", "cycles", "grain", "fracture",
    "cracked",
)  # fmt: skip
OLD_CRACK = "old_crack"  # of a heat: a crack or cold shut of the forging, there before the blow
HEAT_BREAKS = (*BREAKS, OLD_CRACK)
WHERE_READ = ("skin", "below", "not_stated")  # below: ground 0.3 mm or more under the skin
TRIALS = ("rope", "chop", "brass_rod", "bend")
RESULTS = ("better", "same", "worse")  # beside the known blade
EDGES = ("sound", "rolled", "chipped", "took_a_set", "broke")
# What a bend shows, in the words of a maker.
EDGES_CALLED = {
    **dict.fromkeys(("sprang_back", "springs_back", "straight"), "sound"),
    **dict.fromkeys(("stayed_bent", "stays_bent", "bent", "set"), "took_a_set"),
    **dict.fromkeys(("snapped", "snapped_clean", "broken"), "broke"),
}

# Below it no coupon is sure to be warmed through by a temper, all told; common practice, no source.
SHORT_TEMPER_MIN = 15.0


@dataclass(frozen=True)
class HardnessSeen:
    """One reading, HRC: a number (low = high, `u_hrc`) or a bracket of files; None is open."""

    low_hrc: float | None
    high_hrc: float | None
    where: str = "not_stated"  # one of WHERE_READ
    by_files: bool = True
    u_hrc: float = 1.0


@dataclass(frozen=True)
class TemperSeen:
    """A temper of one quenched coupon or blade, with the readings after it."""

    temperature_c: float | None = None
    time_min: float | None = None
    repeats: int = 1
    hardness: tuple[HardnessSeen, ...] = ()
    for_use: bool = False

    @property
    def short(self):
        """Whether it was so short that the steel hardly came to its heat."""
        return self.time_min is not None and self.time_min * self.repeats < SHORT_TEMPER_MIN


@dataclass(frozen=True)
class HeatSeen:
    """One heat of one coupon or blade: quenched from where, into what, and what came of it."""

    piece: str
    coupon: str = "1"
    heat: int = 1
    medium: str | None = None  # one of MEDIA, or AS_BOUGHT
    medium_c: float | None = None
    heat_c: float | None = None  # of the steel before the quench, by an instrument
    colour: str | None = None  # by eye, one of COLOURS
    magnet: str | None = None  # one of MAGNET_AT_HEAT
    soak_min: float | None = None
    cycles: int | None = None  # normalising or reducing heats before
    section_mm: float | None = None
    hardness: tuple[HardnessSeen, ...] = ()  # as quenched
    grain: str | None = None
    fracture: str | None = None  # one of HEAT_BREAKS
    cracked: int | None = None  # of `count`
    count: int = 1
    tempers: tuple[TemperSeen, ...] = ()
    carburised: bool = False
    blade: str | None = None

    @property
    def untold(self):
        """Whether nothing tells that it was quenched: a row with no more than a note."""
        known = self.hardness or self.tempers or self.carburised or self.blade
        return not known and all(getattr(self, name) is None for name in OF_QUENCH)


@dataclass(frozen=True)
class TrialSeen:
    """A blade or bar of the piece beside a known one, worked alike."""

    piece: str
    trial: str  # one of TRIALS
    result: str | None = None  # one of RESULTS
    edge: str | None = None  # one of EDGES
    life_ratio: float | None = None  # life over that of the known blade
    life_ratio_log_u: float | None = None  # standard uncertainty of its natural logarithm
    heat: tuple[str, int] | None = None  # (coupon, heat) that the trial piece went through
    carburised: bool = False
    note: str = ""
    ratio_typed: str = ""  # the ratio of lives as the maker wrote it
    beside: str = ""  # the known blade, as the maker calls it
    day: str = ""
    temper_c: float | None = None  # the last temper that it had had, °C
    strokes: int | None = None  # of a chop
    hit: str = ""  # what did the damage and is no work of such a tool: a nail, a stone
    poor_edge: str = ""  # what was wrong with how it was sharpened: a wire edge, another angle
    made_for: str = ""  # the use that its blade was made for, where that is not the one asked about
    old_crack: bool = False  # it broke at a crack that was there before the blow


@dataclass(frozen=True)
class PieceSeen:
    """One piece as found."""

    id: str
    origin: str = "unknown"
    lot: str | None = None  # sister pieces share a lot
    makes_blades: float | None = None
    thickness_mm: float | None = None
    coating: str | None = None
    lead: str | None = None
    closed_hollow: bool | None = None
    loaded_spring: bool | None = None
    magnet: str | None = None  # cold
    sparks: str | None = None
    stream: str | None = None
    forging: str | None = None
    fracture: str | None = None  # of the piece as found
    hardness: tuple[HardnessSeen, ...] = ()  # as found, skin and below
    carbon_pct: float | None = None  # by a laboratory
    carbon_u_pct: float = 0.02
    cracked: bool = False  # from its use, as its note says


@dataclass(frozen=True)
class SteelSeen:
    """All that was seen, and the use it is meant for."""

    use: str | None = None
    pieces: tuple[PieceSeen, ...] = ()
    heats: tuple[HeatSeen, ...] = ()
    trials: tuple[TrialSeen, ...] = ()
    wanted_hrc: tuple[float, float] | None = None  # after the temper; left out: from the use

    def asked(self, piece: str | None = None):
        """The piece asked about, else the first; None where there is none."""
        known = {one.id: one for one in self.pieces}
        return known.get(piece) if piece is not None else next(iter(self.pieces), None)

    def own_quenches(self):
        """The same without what somebody else hardened, and without rows that tell of no quench.

        Either tells nothing of the maker's quench; of what was tried in a trial something was done.
        """
        bought = {(h.piece, h.coupon, h.heat) for h in self.heats if h.medium == AS_BOUGHT}
        tried = {(t.piece, *(t.heat or ())) for t in self.trials}
        bare = {(h.piece, h.coupon, h.heat) for h in self.heats if h.untold} - tried
        return replace(
            self,
            heats=tuple(h for h in self.heats if (h.piece, h.coupon, h.heat) not in bought | bare),
            trials=tuple(t for t in self.trials if (t.piece, *(t.heat or ())) not in bought),
        )
