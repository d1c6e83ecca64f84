"""Which words of a printed line stand for what is still to be seen, and are no reading?"""

from collections.abc import Iterable, Mapping
from shlex import quote

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.steel import steel_seen as words
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, SteelSeen
from edgetest.steel.tried_blades import RESULT_MEANS

BY_FILES, BY_TESTER = "LOW-HIGH", "HRC-READ"
# By key: the word in its place. All are in capitals, for no word of a steel is.
TO_FILL_IN = {
    "id": "ITS-NAME",
    "origin": "WHAT-IT-WAS",
    "lot": "WHERE-FROM",
    "coating": "NONE-OR-WHICH",
    "lead": "NO-SUSPECTED-OR-YES",
    "sparks": "LIKE-LOW-TO-LIKE-HIGH",
    "stream": "HOW-IT-LOOKS",
    "makes_blades": "HOW-MANY",
    "carbon_pct": "PER-CENT",
    "heat_c": "DEGREES-READ",
    "temperature_c": "DEGREES-AND-UNIT",
    "colour": "COLOUR-SEEN",
    "section_mm": "MM-THICK",
    "grain": "FINE-MEDIUM-OR-COARSE",
    "fracture": "HOW-IT-BROKE",
    "result": "BETTER-SAME-OR-WORSE",
    "edge": "SOUND-OR-HOW-HURT",
    "life_ratio": "RATIO-OR-LEAVE-OUT",
    "beside": "KNOWN-BLADE",
    "known_low": "LOW-CARBON-STEEL",
    "known_high": "HIGH-CARBON-STEEL",
    "strokes": "STROKES-MADE",
    "exclude": "WHY-LEFT-OUT",
}
MAGNET_COLD, MAGNET_HOT = "STRONG-WEAK-OR-NONE", "HOLDS-OR-LETS-GO"
_PLACES = {*TO_FILL_IN.values(), BY_FILES, BY_TESTER, MAGNET_COLD, MAGNET_HOT}

_HARDNESS = "60-65 where file 60 skated and 65 bit, or the number that a tester read"
_LISTS = {
    "origin": words.ORIGINS, "coating": words.COATINGS, "lead": words.LEADS,
    "sparks": words.SPARKS_TOLD, "stream": words.STREAMS, "colour": words.COLOURS,
    "grain": words.GRAINS, "fracture": words.HEAT_BREAKS, "result": words.RESULTS,
    "edge": words.EDGES,
}  # fmt: skip
_WANTED = {
    "id": "the name that you call this piece by",
    "lot": "one name for all pieces that came together",
    "makes_blades": "how many blades this piece makes, as a number",
    "carbon_pct": "per cent carbon by weight, as the laboratory gave it",
    "heat_c": "degrees by an instrument, as in 800; a colour goes into colour",
    "temperature_c": 'degrees with their unit, "400 °F" or "400 °C"',
    "section_mm": "how thick it was, in mm",
    "life_ratio": '0.44, or with its 95 % interval "0.44 (0.41 to 0.49)"',
    "beside": "the name of the known blade",
    "known_low": "the steel of little carbon that you spark beside it, such as a mild bar",
    "known_high": "the steel of much carbon that you spark beside it, such as an old file",
    "strokes": "how many strokes it made, as a number",
    "exclude": "why this reading is left out, such as late into the oil",
}
# Before the lines of a blade, or a coupon in its place, that is made, or tempered, and tried.
_TWICE = (
    "repeats=2 says that it is tempered twice, as blades are (common practice, no source): write "
    "what you did. Fill in the words in capitals:"
)
MADE = (
    "Write down its heat and its temper as you make it, for it is judged by them; then what it "
    f"did. {_TWICE}"
)
TEMPERED = f"Write down its temper, then what it did. {_TWICE}"


def to_fill_in(*keys: str) -> str:
    """Cells of a printed line, each with the word that stands for what is to be seen."""
    return " ".join(f"{key}={TO_FILL_IN[key]}" for key in keys)


def known_beside(code: str, folder: object, rows: object) -> str:
    """The line that names the steels sparked beside a piece, as far as nobody named them yet.

    "" at any other test.
    """
    left = [key for key in ("known_low", "known_high") if not getattr(rows, key, "")]
    if code != "sparks" or not left:
        return ""
    which = "the two known steels" if len(left) > 1 else "both known steels"
    line = f"edgetest enter {quote(str(folder))} --evidence known {to_fill_in(*left)}"
    return f"\n  You have not named {which} yet; name them too: {line}"


def hardness_to_fill_in(seen: SteelSeen, key: str) -> str:
    """The cell of a hardness, as the study read it so far: by files, or by a tester."""
    of_heats = [one for heat in seen.heats for one in _readings(heat)]
    read = [*of_heats, *(one for piece in seen.pieces for one in piece.hardness)]
    by_tester = bool(read) and not any(one.by_files for one in read)
    return f"{key}={BY_TESTER if by_tester else BY_FILES}"


def hardness_once_more(seen: SteelSeen, key: str, there: Iterable[HardnessSeen]) -> str:
    """The cell of a hardness that is read once more, behind the readings that stand there."""
    stand = "; ".join(map(_as_typed, there))
    new = hardness_to_fill_in(seen, key).partition("=")[2]
    return f"{key}={quote(f'{stand}; {new}')}"


def _as_typed(one: HardnessSeen) -> str:
    """A reading as it is typed: "60-65", ">65", "<40", 58 or "650 HV"."""
    low, high = one.low_hrc, one.high_hrc
    if low is None:
        return f"<{high:g}"
    if high is None:
        return f">{low:g}"
    return str(getattr(low, "typed", f"{low:g}")) if low == high else f"{low:g}-{high:g}"


def heat_to_fill_in(
    seen: SteelSeen, planned_c: float | None, like: HeatSeen | None = None, *, changed=False
) -> str:
    """The cell of how hot it was: the degrees to work at, or the colour where no degrees stand.

    A heat that is made like another one is told as that was, by its colour where it is not changed.
    """
    if planned_c is not None:
        return f"heat_c='{planned_c:.0f} °C'"
    if like is not None and like.colour is not None:
        colour = quote(like.colour.replace("_", " "))
        return to_fill_in("colour") if changed else f"colour={colour}"
    by_degrees = any(heat.heat_c is not None for heat in seen.heats)
    by_colour = not by_degrees and any(heat.colour for heat in seen.heats)
    return to_fill_in("colour" if by_colour else "heat_c")


def refuse_unfilled(cells: Mapping[str, str], where: str) -> None:
    """Refuse a line that was typed as it was printed: nobody saw what it would say.

    Raises
    ------
    UnusableInput
        Of each such cell, with what belongs there; `ManyFaults` where there are several.
    """
    faults = [
        UnusableInput(
            f"{text} only keeps a place, and says nothing that was seen", f"{where}, {key}",
            f"put in what you saw: {_wanted(key, text)}; or leave the cell out",
        )
        for key, text in cells.items() if any(one.strip() in _PLACES for one in text.split(";"))
    ]  # fmt: skip
    if faults:
        raise ManyFaults(faults) if len(faults) > 1 else faults[0]


def _wanted(key: str, text: str) -> str:
    """What may stand in a cell, in words."""
    if text in (MAGNET_COLD, MAGNET_HOT):
        return _spaced(words.MAGNETS if text == MAGNET_COLD else words.MAGNET_AT_HEAT)
    if text.split("; ")[-1] in (BY_FILES, BY_TESTER):
        return _HARDNESS
    if key == "result":
        return f"{_spaced(_LISTS[key])}. {RESULT_MEANS[:-1]}"
    return _spaced(_LISTS[key]) if key in _LISTS else _WANTED.get(key, "what belongs there")


def _spaced(known: Iterable[str]) -> str:
    return "one of " + ", ".join(word.replace("_", " ") for word in known)


def _readings(heat: HeatSeen):
    yield from heat.hardness
    for temper in heat.tempers:
        yield from temper.hardness
