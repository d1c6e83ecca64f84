"""Which fields does each step's form have, and what does a typed one say in study.toml?"""

import re
from dataclasses import dataclass
from typing import Any

import streamlit as st

from edgetest.app.kept_fields import KeptForm
from edgetest.app.verbatim import verbatim
from edgetest.steel import steel_seen as words
from edgetest.steel.tried_blades import RESULT_MEANS
from edgetest.study.steel.old_cracks import AT_OLD_CRACK
from edgetest.study.steel.row_kinds import QUENCHED_IN, spaced

HARDNESS_HELP = (
    "A number (61), a bracket of files (60-65: file 60 skated, file 65 bit), <40, >65, "
    "'skates all' or 'bites all'. Several, separated by ;"
)
MAKES_BLADES_HELP = (
    "How many blades the piece gives in all, those already made or lost too: the more, the more "
    "hours of testing it pays for. A blade that broke or cracked by its rows is taken off for you"
)
KNOWN_STEEL_HELP = (
    "The price of the bar for one blade, in hours of your work; no forging, no grinding"
)
BLADE_HOURS_HELP = "All your work in one blade, from forging to finish, which a wrong steel wastes"
MARK = "not looked at"
YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True)
class Field:
    """One field of a form: its key in study.toml, its label, and how it is filled in."""

    key: str
    label: str
    kind: str = "text"  # text, words, cells, numbers, size, count, truth
    options: tuple[str, ...] = ()
    hint: str = ""
    help: str | None = None


def _words(key, label, options, **more):
    return Field(key, label, "words", options, **more)


def _cells(key, label):
    return Field(key, label, "cells", hint="60-65", help=HARDNESS_HELP)


# Why readings of hardness do not count; they stay in their row.
_LEFT_OUT = Field("exclude", "Hardness left out, and why", hint="late into the oil")
PIECE = (
    Field("id", "Name of the piece", hint="disc A"),
    _words("origin", "What it was", words.ORIGINS),
    _words("coating", "Coating", words.COATINGS),
    _words("lead", "Lead in or on it", words.LEADS),
    Field("closed_hollow", "Closed hollow part", "truth"),
    Field("loaded_spring", "Spring under load", "truth"),
    Field("makes_blades", "Blades it would make", "count", hint="9", help=MAKES_BLADES_HELP),
    Field("thickness_mm", "Thickness, mm", "size", hint="6 or 1/4 in"),
    Field("lot", "Bought together with (name of the lot)", hint="harrow"),
    Field("note", "Note"),
)
LOOK = (
    _words("magnet", "Magnet, cold", words.MAGNETS),
    _words("sparks", "Sparks: bursts beside the two known steels", words.SPARKS_TOLD),
    _words("stream", "Spark stream", words.STREAMS),
    _words("forging", "Under the hammer", words.FORGING),
    _words("fracture", "Break, as found", words.BREAKS),
    _cells("hardness_skin", "Hardness as found, on the skin"),
    _cells("hardness_below", "Hardness as found, ground 0.3 mm below the skin"),
    _LEFT_OUT,
    Field("carbon_pct", "Carbon by a laboratory, %", "count", hint="0.62"),
)
_COUPON = (
    Field("coupon", "Coupon", hint="A1"),
    Field("heat", "Heat number", "count", hint="1"),
)
HEAT = (
    *_COUPON,
    _words("medium", "Quenched in", QUENCHED_IN),
    Field("medium_c", "Its temperature, °C", "size", hint="60 or 140 °F"),
    Field("heat_c", "Heat of the steel, °C", "size", hint="800 or 1475 °F"),
    _words("colour", "Colour of the steel", words.COLOURS),
    _words("magnet", "Magnet just before the quench", words.MAGNET_AT_HEAT),
    Field("soak_min", "Minutes at heat", "size", hint="5"),
    Field("cycles", "Normalising heats before", "count", hint="2"),
    Field("section_mm", "Coupon, mm thick", "size", hint="6 or 1/4 in"),
    _cells("hardness_skin", "Hardness on the skin"),
    _cells("hardness_below", "Hardness below the skin"),
    _cells("hardness", "Hardness, place not noted"),
    _LEFT_OUT,
    _words("grain", "Grain of the break", words.GRAINS),
    _words("fracture", "How it broke", words.HEAT_BREAKS, help=AT_OLD_CRACK),
    Field("cracked", "Cracked", "count", hint="0"),
    Field("count", "of so many quenched alike", "count", hint="1"),
    Field("note", "Note"),
)
TEMPER = (
    *_COUPON,
    Field("temperature_c", "Temper, °C", "size", hint="200 or 400 °F"),
    Field("time_min", "Minutes", "size", hint="60 or 2 h"),
    Field("repeats", "Times", "count", hint="2"),
    _cells("hardness", "Hardness after it"),
    _LEFT_OUT,
    Field("for_use", "This is the temper for use", "truth"),
    Field("note", "Note"),
)
TRIAL = (
    _words("test", "Trial", words.TRIALS),
    _words("result", "Beside the known blade", words.RESULTS, help=RESULT_MEANS),
    _words("edge", "Edge after it", words.EDGES),
    Field("hit", "What hurt it and is no work of such a tool", hint="a nail"),
    Field("poor_edge", "How it was badly sharpened, found before its next run", hint="a wire edge"),
    Field("life_ratio", "Life over that of the known blade", hint="0.44 (0.41 to 0.49)"),
    Field("beside", "The known blade", hint="my old chopper"),
    Field("day", "Day of the trial", hint="2026-05-04"),
    Field("temper_c", "The temper that it had, °C", "size", hint="215"),
    Field("strokes", "Strokes, of a chop", "count", hint="60"),
    _words("use", "What this blade was made for, if for another use", words.USES),
    *_COUPON,
    Field("note", "Note"),
)

PACK = (
    Field("piece", "Piece that was packed"),
    Field("compound", "Compound"),
    Field("core_pct", "Carbon of the steel before, %"),
    Field("temperature_c", "Pack, °C"),
    Field("hours", "Hours with the steel at heat"),
    Field("thickness_mm", "Edge in the pack, mm thick"),
    Field("removed_mm", "Ground off each face afterwards, mm"),
    Field("energised", "Charcoal in the pack"),
    Field("skin_mm", "Decarburised skin before, mm"),
    Field("time_min", "Temper, minutes"),
    Field("repeats", "Temper, times"),
)
READERS = (
    Field(
        "files_hrc",
        "Your hardness files, HRC",
        "numbers",
        hint="40; 45; 50; 55; 60; 65",
        help="A number each, apart by semicolons or spaces. Blank: the usual set is taken.",
    ),
    Field(
        "tester_u_hrc",
        "Your hardness tester is good to, HRC",
        "size",
        hint="1",
        help="Standard uncertainty of one number that it gives. Blank: 1 HRC.",
    ),
    Field("oven_checked", "A thermometer stood beside what you tempered", "truth"),
)
WISHES = (
    Field("hardness_hrc", "Hardness wanted, HRC"),
    Field("piece", "The piece asked about"),
    Field("blade_hours", "Hours in one trial blade"),
    Field("known_steel_hours", "Known steel for one blade, in hours of work"),
    Field("blades_wanted", "Blades wanted of it"),
    Field("no_test", "Tests that this shop cannot do"),
)


def shown_in(field: Field, row: dict[str, Any]) -> Any:
    """What a field shows of a row: a word of its list, yes or no, or the text as typed."""
    value = row.get(field.key)
    if value is None:
        return None if field.kind in ("words", "truth") else ""
    if field.kind == "words":
        word = re.sub(r"[\s,_-]+", "_", str(value).strip().casefold())
        word = "none" if word == "no" and "none" in field.options else word
        return word if word in field.options else None
    if field.kind == "truth":
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(map(_plain, value))
    return _plain(value)


def _plain(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def ask(form: KeptForm, column, field: Field, row: dict[str, Any]) -> Any:
    """Draw one field of a form in a column; what it holds, as it shall stand in study.toml."""
    was = shown_in(field, row)
    if field.kind in ("words", "truth"):
        now = form.field(
            column.selectbox, verbatim(field.label), was, field.key,
            options=field.options or tuple(YES_NO),
            index=None, format_func=spaced, placeholder=MARK,
        )  # fmt: skip
        if now == was:
            return row.get(field.key)
        return YES_NO[now] if field.kind == "truth" and now else spaced(now) if now else None
    now = form.field(
        column.text_input,
        verbatim(field.label),
        was,
        field.key,
        placeholder=field.hint,
        help=verbatim(field.help) if field.help else None,
    ).strip()
    if now == was:
        return row.get(field.key)
    return _typed(field.kind, now)


def _typed(kind: str, text: str) -> Any:
    """A text as study.toml holds it: numbers as numbers, all else as typed; None where blank."""
    if not text:
        return None
    if kind == "cells":
        return [number_or_text(part.strip()) for part in text.split(";") if part.strip()]
    if kind == "numbers":
        return [number_or_text(part) for part in _numbers_apart(text)]
    if kind == "count":
        number = number_or_text(text)
        whole = isinstance(number, float) and number.is_integer()
        return int(number) if whole else number
    return number_or_text(text) if kind == "size" else text


def _numbers_apart(text: str) -> list[str]:
    """Parts of a list of numbers: apart by semicolons, else by spaces, else by commas.

    A comma with one digit behind it is a decimal one, as in 48,5; no file is rated to hundredths.
    """
    if ";" in text:
        return [part.strip() for part in text.split(";") if part.strip()]
    parts = [part.strip(",") for part in text.split()]
    if len(parts) == 1 and not re.fullmatch(r"\d+,\d", parts[0]):
        parts = parts[0].split(",")
    return [part for part in parts if part]


def number_or_text(text: str) -> float | str:
    """A number where the text is one, with a decimal comma too; else the text."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text


def sized(form: KeptForm, column, label, name, was=None, **how):
    """A size as typed, a number or a text with its unit; None where the field is blank."""
    told = "" if was is None else _plain(float(was) if isinstance(was, int | float) else was)
    text = form.field(column.text_input, label, told, name, **how).strip()
    return number_or_text(text) if text else None


def asked(form: KeptForm, fields: tuple[Field, ...], row: dict[str, Any]) -> dict[str, Any]:
    """Draw fields in two columns, read and reached by keyboard row by row; the row as they hold it.

    Keys that have no field stay as they were.
    """
    held = {}
    for k in range(0, len(fields), 2):
        for column, field in zip(st.columns(2), fields[k : k + 2], strict=False):
            held[field.key] = ask(form, column, field, row)
    return {**row, **held}
