"""What may stand in one key of the evidence: a word of a list, a hardness, a ratio of lives?"""

import re
from dataclasses import dataclass, field
from math import exp, hypot, log
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field
from pydantic_core import core_schema

from edgetest.errors import nearest
from edgetest.steel import steel_seen as words
from edgetest.steel.conversion import CONVERSION_SD_HRC
from edgetest.steel.hardness_readings import off_the_c_scale
from edgetest.steel.scaled_hardness import in_hrc, own_scale
from edgetest.store.cells import Reading, parse_reading
from edgetest.store.checking import Quantity, refuse
from edgetest.store.field_kinds import MOST_COUNTED, Celsius
from edgetest.units import Typed, Unreadable, as_typed, normal, parse_number, split_range

FILES_HRC = (40.0, 45.0, 50.0, 55.0, 60.0, 65.0)
SCALES = ("HRC", "HV", "HB")
_ALL_SKATE = ("skates all", "all skate", "skated all", "all skated")
_ALL_BITE = ("bites all", "all bite", "all bit")
_OF_FILES = re.compile(r"\b(?:file|skat|bit)")  # "file 55 skates" is no bracket yet
_UNDER = re.compile(r"(?:under|below|less than|softer than)\s+(?=\d)")
_OVER = re.compile(r"(?:over|above|more than|harder than)\s+(?=\d)")
# Two readings in one cell: "57 HRC, 58.5"; a comma before two digits or more is no decimal one.
_SEVERAL = re.compile(
    r"(?P<one>\d{2,3}(?:\.\d+)?)\s*(?:HRC|HV|HB)?\s*(?:,|/|&|\band\b|\s)\s*"
    r"(?P<two>\d{2,3}(?:\.\d+)?)\s*(?:HRC|HV|HB)?(?:[\s,/&].*)?",
    re.IGNORECASE,
)
_RATIO = re.compile(r"(?P<middle>[\d.,]+)\s*\((?P<ends>.+)\)")
COVERAGE_95 = 1.959964  # standard uncertainties from the middle to an end of a 95 % interval


@dataclass(frozen=True, eq=False)
class OneOf:
    """For `Annotated[str, OneOf(COATINGS)]`: a word with blanks, hyphens or underscores."""

    words: tuple[str, ...]
    also: dict[str, str] = field(default_factory=dict)  # other ways to say one of them
    elsewhere: dict[str, str] = field(default_factory=dict)  # a word of another key: how to mend it
    unsaid: tuple[str, ...] = ()  # words that say no more than leaving the key out
    kinds: dict[str, str] = field(default_factory=dict)  # by its end: of what a word is a kind

    def read(self, value: Any) -> str | None:
        """The word as the program keeps it; a fault names the known words and the nearest."""
        if isinstance(value, list | tuple | dict):
            mend = "write the one that counts, and what else you saw into note"
            raise refuse("one word belongs here, not a list", mend)
        told = value if isinstance(value, str) else {True: "true", False: "false"}.get(value, value)
        word = re.sub(r"[\s,_-]+", "_", normal(str(told)).casefold())
        word = self.also.get(word, word)
        if word in self.unsaid:
            return None
        if word in self.words and not isinstance(value, bool):
            return word
        if word in self.elsewhere:
            raise refuse(f'"{told}" does not stand here', self.elsewhere[word])
        known = f"known: {', '.join(spaced(each) for each in self.words)}"
        of = next((kind for end, kind in self.kinds.items() if word.endswith(end)), None)
        if of is not None:
            mend = f"write {spaced(of)}, and which it was into note; {known}"
            raise refuse(f'"{told}" is a kind of {spaced(of)}', mend)
        near = nearest(word, self.words)
        mend = f'did you mean "{spaced(near)}"? {known}' if near else known
        raise refuse(f'"{told}" is not known', mend)

    def __get_pydantic_core_schema__(self, _kind: Any, _handler: Any) -> Any:
        """Read here and nowhere else."""
        return core_schema.no_info_plain_validator_function(self.read)


def spaced(word: str) -> str:
    """A word of the program as people write it."""
    return word.replace("_", " ")


def several_in(written: float | str) -> tuple[str, str] | None:
    """The first two of several readings that stand in one cell, else None."""
    met = _SEVERAL.fullmatch(normal(str(written))) if isinstance(written, str) else None
    return (met["one"], met["two"]) if met else None


def hardness_cell(written: float | str, files_hrc: tuple[float, ...] = FILES_HRC) -> Reading:
    """One hardness as a maker writes it, in Rockwell C.

    Parameters
    ----------
    written : float or str
        `61`, `"60-65"` (file 60 skated, 65 bit), `">65"`, `"<40"`, `"skates all"`, `"bites all"`;
        "under 40" and "over 65" say the same as the marks; a number may name its scale, as
        `"58 HRC"`, `"HRC58"`, `"700 HV"` and `"500 HBW"` do.
    files_hrc : tuple of float
        Rated hardness of the set of files, HRC.

    Raises
    ------
    Unreadable
        Saying what is wrong with the cell and how to mend it.
    """
    scale, text = own_scale(written)
    if scale not in (None, "HRC"):
        hrc = in_hrc(text, scale)
        return Reading(hrc, None, None, "number")
    text = _OVER.sub(">", _UNDER.sub("<", text.casefold()))
    if text in _ALL_SKATE:
        text = f">{max(files_hrc):g}"
    elif text in _ALL_BITE:
        text = f"<{min(files_hrc):g}"
    return parse_reading(text, "hrc", above=0)


def refuse_off_scale(cells: tuple[float | str, ...], scale: str, key: str, whose: str) -> None:
    """Refuse a number or a bound that lies off the C scale, naming the key and whose it is."""
    for cell in cells:
        if (own_scale(cell)[0] or scale) != "HRC":
            continue  # its own table refuses what lies outside it
        read = hardness_cell(cell)
        for hrc in (read.value, read.lower, read.upper):
            if hrc is not None and (told := off_the_c_scale(hrc)):
                shown = cell if isinstance(cell, str) else f"{cell:g}"
                raise refuse(f"{whose}{key} = {shown}: {told[0]}", told[1])


def hardness_seen(
    cells: tuple[float | str, ...],
    where: str,
    *,
    scale: str = "HRC",
    files_hrc: tuple[float, ...] = FILES_HRC,
    tester_u_hrc: float = words.HardnessSeen(None, None).u_hrc,
) -> tuple[words.HardnessSeen, ...]:
    """Readings of one place as the numerical room takes them, in the order written.

    Raises
    ------
    Unreadable
        If a number lies outside the table that turns Vickers or Brinell into Rockwell C.
    """
    found = []
    for cell in cells:
        own, number = own_scale(cell)
        if (own or scale) != "HRC":
            hrc = Typed(in_hrc(number, own or scale), f"{number.removesuffix('.0')} {own or scale}")
            u_hrc = hypot(tester_u_hrc, CONVERSION_SD_HRC)
            found.append(words.HardnessSeen(hrc, hrc, where, False, u_hrc))
            continue
        read = hardness_cell(cell, files_hrc)
        if read.kind == "number":
            found.append(words.HardnessSeen(read.value, read.value, where, False, tester_u_hrc))
        else:
            found.append(words.HardnessSeen(read.lower, read.upper, where))
    return tuple(found)


def life_ratio_seen(written: float | str) -> tuple[float, float | None]:
    """A ratio of lives and the standard uncertainty of its logarithm, None where none is typed.

    Parameters
    ----------
    written : float or str
        `0.44`, or with its 95 % interval, `"0.44 (0.41 to 0.49)"`.

    Raises
    ------
    Unreadable
        Saying what is wrong with it and how to mend it.
    """
    text = normal(str(written))
    mend = 'write 0.44, or with its 95 % interval "0.44 (0.41 to 0.49)"'
    met = _RATIO.fullmatch(text)
    if met is None:
        ratio = parse_number(text)
        if ratio <= 0:
            raise Unreadable(f'"{text}" is not above zero', mend)
        return ratio, None
    ends = split_range(met["ends"])
    if ends is None:
        raise Unreadable(f'"{text}" has no interval behind the number', mend)
    low, middle, high = (parse_number(part) for part in (ends[0], met["middle"], ends[1]))
    if not 0 < low <= middle <= high or low == high:
        raise Unreadable(f'"{text}" does not lie inside its own interval', mend)
    return middle, (log(high) - log(low)) / (2 * COVERAGE_95)


def ratio_words(ratio: float, log_u: float | None) -> str:
    """A ratio of lives as a maker writes it, with its 95 % interval where one is known."""
    if log_u is None:
        return f"{ratio:.2f}"
    low, high = (ratio * exp(sign * COVERAGE_95 * log_u) for sign in (-1, 1))
    return f"{ratio:.2f} ({low:.2f} to {high:.2f})"


CELLS = 'write 61, "60-65" (file 60 skated, 65 bit), ">65", "<40", "skates all" or "bites all"'


def _cells(value: Any) -> tuple[float | str, ...]:
    """One hardness or a list of them, each readable."""
    cells = value if isinstance(value, list | tuple) else (value,)
    for cell in cells:
        if isinstance(cell, bool) or not isinstance(cell, int | float | str):
            raise refuse(f"{cell!r} is not a hardness", 'write 61, "60-65" or "skates all"')
        if two := several_in(cell):
            raise refuse(
                f'"{cell}" holds several readings',
                f'write {two[0]}-{two[1]} for a bracket of files, "{two[0]}; {two[1]}" for two '
                f"readings (in study.toml: [{two[0]}, {two[1]}]), and a decimal point for one",
            )
        try:
            read = hardness_cell(cell)
        except Unreadable as fault:
            digits = isinstance(cell, str) and any(sign.isdigit() for sign in cell)
            words = isinstance(cell, str) and (
                not digits or bool(_OF_FILES.search(cell.casefold()))
            )
            mend = CELLS if words else fault.mend
            if mend == "known here: HRC":
                mend = f"known here: {', '.join(SCALES)}"
            raise refuse(f'"{cell}" is not a hardness' if words else fault.what, mend) from None
        if read.kind == "missing":
            raise refuse("this hardness is blank", "leave the key out where nothing was read")
    return tuple(cells)


def _ratio(value: Any) -> float | str:
    """A ratio of lives that can be read; kept as typed."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise refuse(f"{value!r} is not a ratio of lives", 'write 0.44 or "0.44 (0.41 to 0.49)"')
    try:
        life_ratio_seen(value)
    except Unreadable as fault:
        raise refuse(fault.what, fault.mend) from None
    return value


def _rating(hrc: float) -> float:
    """What stands on a file, where it lies on the C scale."""
    if told := off_the_c_scale(hrc):
        raise refuse(told[0], "write what stands on the file, such as 65")
    return hrc


FileRating = Annotated[float, Field(strict=True), AfterValidator(_rating)]
Hardnesses = Annotated[tuple[float | str, ...], BeforeValidator(_cells)]
LifeRatioTyped = Annotated[float | str, BeforeValidator(_ratio)]
Truth = Annotated[bool, Field(strict=True)]
Pieces = Annotated[float, Field(strict=True, ge=0, le=MOST_COUNTED)]
Carbon = Annotated[float, Field(strict=True, ge=0, le=7)]  # cast iron holds 2 to 4
Hours = Annotated[float, Quantity("h", above=0)]
Scale = Annotated[str, OneOf(SCALES, {"hrc": "HRC", "hv": "HV", "hb": "HB", "hbw": "HB"})]

UNSAID = ("unknown", "not_known", "not_told")
QUENCHED_IN = (*words.MEDIA, words.AS_BOUGHT)
_MEDIA_TOO = {"still_air": "air", "warm_oil": "oil"} | dict.fromkeys(
    ("as_bought", "factory_hard", "factory_hardened"), words.AS_BOUGHT
)

# The first end that fits counts.
_KINDS_OF_MEDIA = {
    "salt_water": "brine", "salted_water": "brine", "hot_water": "warm_water", "_water": "water",
    "_brine": "brine", "_air": "air", "oil": "oil",
    "canola": "oil", "rapeseed": "oil", "sunflower": "oil",
}  # fmt: skip

# What makers also call a use; what it is judged as is told where it is typed.
_CALLED = dict.fromkeys(("hatchet", "camp_hatchet", "small_axe"), "chopper")
_HEDGING = ("billhook", "hedging_billhook", "hedging_hook", "hedge_hook")
_CALLED |= dict.fromkeys(_HEDGING, "hedging_tool")
_CALLED |= dict.fromkeys(("draw_knife", "drawknife", "spokeshave", "plane_iron"), "chisel")
_BLADES = {
    re.sub("fes$", "ves", f"{word}s"): _CALLED.get(word, word) for word in (*words.USES, *_CALLED)
}
Use = Annotated[str, OneOf(words.USES, _CALLED | _BLADES)]
Origin = Annotated[str, OneOf(words.ORIGINS, kinds={one: one for one in words.ORIGINS})]
Coating = Annotated[
    str,
    OneOf(
        words.COATINGS,
        {"no": "none", "zinc": "galvanised", "galvanized": "galvanised", "chrome": "hard_chrome"},
        {"leaded": 'lead stands under its own key: lead = "yes"'}
        | dict.fromkeys(
            ("rust", "rusty", "rusted", "mill_scale", "scale"),
            'rust and mill scale are no coating: write coating = "none" if nothing else is on it',
        ),
    ),
]
Lead = Annotated[str, OneOf(words.LEADS, {"none": "no"})]
Magnet = Annotated[str, OneOf(words.MAGNETS, {"no": "none"})]
Sparks = Annotated[str, OneOf(words.SPARKS_TOLD)]
Stream = Annotated[str, OneOf(words.STREAMS)]
Forging = Annotated[str, OneOf(words.FORGING)]
Medium = Annotated[str, OneOf(QUENCHED_IN, _MEDIA_TOO, unsaid=UNSAID, kinds=_KINDS_OF_MEDIA)]
Colour = Annotated[str, OneOf(words.COLOURS)]
MagnetAtHeat = Annotated[str, OneOf(words.MAGNET_AT_HEAT)]
Grain = Annotated[str, OneOf(words.GRAINS)]
TrialKind = Annotated[str, OneOf(words.TRIALS)]
TrialResult = Annotated[str, OneOf(words.RESULTS)]
Edge = Annotated[str, OneOf(words.EDGES, words.EDGES_CALLED)]


def up_to(most_c, said):
    """For `Annotated[float, …]`: a temperature, asked about where only °F makes sense of it."""

    def read(value):
        if value > most_c:
            mend = f'write "{value:g} °F" if °F was meant'
            raise refuse(f"{as_typed(value, 'c')} is hotter than {said}", mend)
        return value

    return Annotated[Celsius, AfterValidator(read)]


# High-speed steel is hardened from 1,230 °C; tempers end below A1 (both from memory); a tank of
# salt is the hottest that steel is quenched in.
HeatC = up_to(1300.0, "steel is quenched from")
TemperC = up_to(760.0, "steel is tempered at")
TankC = up_to(550.0, "any tank")


MOST_HEATS = 50  # of one coupon; a number above it is a temperature; our choice


def refuse_degrees(heat: Any) -> None:
    """Refuse a temperature in the key that numbers the heats of a coupon."""
    typed = isinstance(heat, str) and any(sign.isdigit() for sign in heat)
    if typed or (isinstance(heat, int | float) and heat > MOST_HEATS):
        raise refuse(
            f"heat = {heat} looks like a temperature, and heat numbers the heats of a coupon",
            f"write heat_c = {heat} for the temperature of the steel before the quench; heat = 1 "
            "is the first heat of the coupon",
        )
