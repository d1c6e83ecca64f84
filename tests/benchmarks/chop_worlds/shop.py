"""What is true of an invented shop: its tools, wood and hands, and what it sets out to chop."""

from dataclasses import dataclass, field

from tests.benchmarks.chop_worlds.notch import Section, Ways
from tests.benchmarks.chop_worlds.woods_to_chop import Wood


@dataclass(frozen=True)
class Tool:
    """A blade as it truly is.

    effort : bites it needs, against a middling tool; dulling : share more per 100 strokes
    chips, rolls : damage per stroke; depth_mm : of a single chop, fresh, in resistance 1
    loss : log depth lost per 100 strokes
    """

    name: str
    treatment: str
    effort: float
    dulling: float
    chips: float
    rolls: float
    depth_mm: float
    loss: float


@dataclass(frozen=True)
class Hands:
    """Those who swing, and how evenly; spreads are standard deviations of logs.

    bite_shape : gamma shape of a blow's bite (its coefficient of variation is shape**-0.5)
    """

    operators: tuple[str, ...] = ("the maker",)
    operator_spread: float = 0.07
    days: int = 1
    day_spread: float = 0.07
    fatigue: float = 0.05
    strokes_to_tire: float = 150.0
    misses: float = 0.03
    miscounts: float = 0.02
    bite_shape: float = 3.0
    stops_at: int | None = None


@dataclass(frozen=True)
class Grain:
    """Boards and knots: spreads of logs of resistance, knots a piece, strokes and damage a knot."""

    board_spread: float = 0.14
    piece_spread: float = 0.05
    knots: float = 0.0
    knot_strokes: float = 4.0
    knot_damage: float = 8.0
    moisture_pct: float = 12.0
    exponent: float = 0.55


@dataclass(frozen=True)
class Lot:
    """Pieces of one wood and section: `boards` boards of `rounds` rounds, `lean` the lot's own."""

    wood: Wood
    section: Section
    orientation: str
    boards: int
    rounds: int
    lean: float = 0.0


@dataclass(frozen=True)
class Habits:
    """How the shop looks, touches up and writes.

    look : "each", "end" or "none"; overlooks : chance that one chip or roll is not seen at a look
    touch_up_after : round after which all are touched up; logs_touch_up : whether that is written
    weighs : density by length and mass; singles : single chops a round
    """

    look: str = "each"
    overlooks: float = 0.05
    touch_up_after: int | None = None
    logs_touch_up: bool = True
    weighs: bool = False
    singles: int = 0
    notes_orientation: bool = True
    mishaps: float = 0.01


@dataclass(frozen=True)
class Wish:
    """Another piece for which the strokes are to be reckoned."""

    wood: Wood
    section: Section
    orientation: str
    lean: float = 0.0


@dataclass(frozen=True)
class Shop:
    """All of it; `contrast` holds the true ratios of the first heat treatment to the second."""

    kind: str
    seed: int
    tools: tuple[Tool, ...]
    lots: tuple[Lot, ...]
    wish: Wish
    ways: Ways = field(default_factory=Ways)
    hands: Hands = field(default_factory=Hands)
    grain: Grain = field(default_factory=Grain)
    habits: Habits = field(default_factory=Habits)
    control: str | None = None
    treatments: tuple[str, ...] = ()
    contrast: dict[str, float] = field(default_factory=dict)
