"""What does a person see, feel and write down of a piece? Files, tester, sparks, colour, grain."""

import math
from bisect import bisect_right
from dataclasses import dataclass

from edgetest.steel.steel_seen import COLOURS, GRAINS, SPARKS, HardnessSeen

# The whole module: common practice, no source, with the errors that the description names.
FILES_HRC = (40.0, 45.0, 50.0, 55.0, 60.0, 65.0)
FILE_BIAS_HRC = 1.0  # of one set and hand
FILE_BIAS_WILD_HRC = 2.0
WILD_SETS = 0.15  # now and then
FILE_SCATTER_HRC = 1.2
TESTER_BIAS_HRC = 0.75
TESTER_MOST_HRC = 1.5
TESTER_SCATTER_HRC = 0.5
WRONG_COUPON = 0.02  # one reading in fifty
ONE_CLASS_OFF = 0.20  # sparks
TWO_CLASSES_OFF = 0.02
SPARK_SHIFT_LOG = 0.15  # from person to person
EYE_WRONG = 0.15  # stream, break, grain: one class off
FEW_WRONG = 0.03  # magnet
COLD_WORKED = 0.3  # austenitic steel that draws a magnet weakly
# Carbon that the bursts show, %: the borders of the five grades against mild bar and an old file.
SPARK_BORDERS = (0.035, 0.28, 0.68, 1.25)
COLOUR_ABOVE_C = (520.0, 720.0, 785.0, 855.0, 955.0)  # dull red to yellow, in a shaded smithy
EYE_BIAS_C = 20.0
EYE_SCATTER_C = 30.0
INSTRUMENT_BIAS_C = 10.0
INSTRUMENT_SCATTER_C = 15.0
COLOUR_READ_C = 20.0
CURIE_C = 768.0  # magnetism goes here, or where austenite forms; textbook
FINE_UM, COARSE_UM = 22.0, 42.0


@dataclass(frozen=True, slots=True)
class Person:
    """One maker with files, eyes and forge."""

    file_bias: float
    files: tuple[float, ...]
    tester_bias: float
    has_tester: bool
    has_instrument: bool
    heat_bias_c: float  # how much hotter it is than the maker thinks
    spark_shift: float
    forge_burns: float  # how much carbon the forge takes, 1 is usual
    says_where: float  # chance that the place of a reading is told
    life_scatter_log: float  # from blade to blade
    soak_min: float
    cycles: int


def drawn_person(rng, *, file_bias=FILE_BIAS_HRC, hands_only=False):
    """A maker; `hands_only` has neither tester nor thermometer."""
    wild = FILE_BIAS_WILD_HRC if rng.random() < WILD_SETS else file_bias
    tester = max(-TESTER_MOST_HRC, min(TESTER_MOST_HRC, TESTER_BIAS_HRC * float(rng.normal())))
    instrument = not hands_only and rng.random() < 0.45
    first = 1 if rng.random() < 0.25 else 0  # a set of five begins at 45
    return Person(
        file_bias=wild * float(rng.normal()),
        files=FILES_HRC[first:],
        tester_bias=tester,
        has_tester=not hands_only and rng.random() < 0.2,
        has_instrument=instrument,
        heat_bias_c=(INSTRUMENT_BIAS_C if instrument else EYE_BIAS_C) * float(rng.normal()),
        spark_shift=SPARK_SHIFT_LOG * float(rng.normal()),
        forge_burns=0.4 + 1.2 * rng.random(),
        says_where=(0.1, 0.5, 0.9)[int(rng.random() * 3)],
        life_scatter_log=0.1 + 0.15 * rng.random(),
        soak_min=(1.0, 2.0, 5.0, 8.0, 10.0)[int(rng.random() * 5)],
        cycles=(0, 0, 1, 2, 3)[int(rng.random() * 5)],
    )


def file_reading(rng, person, hrc, where):
    """Between which two files of the set the steel lies."""
    low = None
    for rated in person.files:
        if hrc < rated + person.file_bias + FILE_SCATTER_HRC * rng.normal():
            return HardnessSeen(low, rated, where)
        low = rated
    return HardnessSeen(low, None, where)


def reading(rng, person, hrc, where):
    """One reading by what the maker has."""
    if person.has_tester and hrc > 20:
        seen = hrc + person.tester_bias + TESTER_SCATTER_HRC * rng.normal()
        number = float(round(2 * seen) / 2)
        return HardnessSeen(number, number, where, by_files=False)
    return file_reading(rng, person, hrc, where)


def shifted(rng, words, at, share):
    """The word at a place, or a neighbour by mistake."""
    if rng.random() < share:
        at += 1 if rng.random() < 0.5 else -1
    return words[max(0, min(len(words) - 1, at))]


def burst_carbon(steel, c):
    """Carbon that the bursts show, %: alloy dampens them."""
    if steel.body in ("grey", "white"):
        return 0.2
    damped = c * math.exp(-steel.cr / 6 - steel.w / 3 - steel.mo / 10 - steel.si / 9)
    return damped * math.exp(-min(steel.ni, 20) / 15)


def sparks_seen(rng, person, steel, c):
    """The grade of the bursts beside the two known pieces."""
    shown = max(burst_carbon(steel, c), 1e-4) * math.exp(person.spark_shift)
    at = bisect_right(SPARK_BORDERS, shown)
    chance = rng.random()
    if chance < TWO_CLASSES_OFF:
        at += 2 if rng.random() < 0.5 else -2
    elif chance < TWO_CLASSES_OFF + ONE_CLASS_OFF:
        at += 1 if rng.random() < 0.5 else -1
    return SPARKS[max(0, min(4, at))]


def stream_seen(rng, steel, c, plated):
    """The stream of the sparks."""
    words = ("bright_forked", "straw_no_forks", "short_red", "almost_none")
    if plated and rng.random() < 0.6:
        return "almost_none"
    if steel.w > 4:
        at = 3 if rng.random() < 0.5 else 2
    elif steel.cr > 9 or steel.body in ("grey", "white") or steel.mo > 3:
        at = 2
    else:
        at = 0 if burst_carbon(steel, c) > 0.33 else 1
    return shifted(rng, words, at, EYE_WRONG)


def magnet_seen(rng, steel):
    """The magnet on the cold piece."""
    word = "strong"
    if steel.body == "austenitic":
        word = "weak" if rng.random() < COLD_WORKED else "none"
    wrong = rng.random() < FEW_WRONG
    return ("none" if word == "weak" else "weak") if wrong else word


def forging_seen(rng, steel):
    """How it moves under the hammer."""
    chance = rng.random()
    if steel.body in ("grey", "white"):
        return "crumbles" if chance < 0.93 else "moves"
    if steel.body == "wrought":
        return "splits_along_fibres" if chance < 0.5 else "moves"
    if steel.body == "sintered":
        return "crumbles" if chance < 0.45 else "moves"
    if steel.cr > 2.5 or steel.w > 4 or steel.ni > 6:
        return "stiff" if chance < 0.72 else ("crumbles" if chance < 0.8 else "moves")
    stiff = 0.15 if steel.c > 0.9 or steel.cr > 0.7 else 0.06
    return "stiff" if chance < stiff else "moves"


def break_seen(rng, steel, hrc, core_hrc):
    """How it breaks: a hard one snaps, a soft core gives first."""
    if steel.body == "grey":
        return "grey_crumbly" if rng.random() < 0.85 else "snapped_clean"
    if steel.body == "white":
        return "snapped_clean"
    if steel.body == "wrought":
        return "fibrous" if rng.random() < 0.75 else "did_not_break"
    hard = min(hrc, core_hrc) + 3 * rng.normal()
    at = 0 if hard > 54 else (1 if hard > 42 else 2)
    return shifted(rng, ("snapped_clean", "bent_then_broke", "did_not_break"), at, EYE_WRONG)


def grain_seen(rng, grain_um):
    """The grain of a fresh break."""
    at = 0 if grain_um < FINE_UM else (1 if grain_um < COARSE_UM else 2)
    return shifted(rng, GRAINS, at, EYE_WRONG)


def colour_seen(rng, person, t_c):
    """The colour as the maker names it."""
    thought = t_c - person.heat_bias_c + COLOUR_READ_C * rng.normal()
    return COLOURS[bisect_right(COLOUR_ABOVE_C, thought)]
