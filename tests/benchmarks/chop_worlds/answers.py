"""What does `edgetest chop FOLDER --json` answer? Run in process, read by its field names."""

import contextlib
import io
import json
import math
from dataclasses import dataclass, field
from time import perf_counter

from edgetest.cli import main

QUANTITIES = ("loss", "depth", "chip", "roll", "chop", "stroke")


@dataclass(frozen=True)
class Answer:
    """One run: its JSON document, the fault that was told, and its seconds."""

    told: dict
    fault: str
    seconds: float
    wish_fault: str = ""


@dataclass(frozen=True)
class Range:
    """An interval with its middle; ends may be open."""

    value: float | None
    low: float
    high: float
    extra: dict = field(default_factory=dict)

    def holds(self, truth):
        """Whether the truth lies in it."""
        return self.low <= truth <= self.high

    def half_width(self):
        """Half the width on the log scale, or infinity where an end is open or not positive."""
        if not (self.low > 0 and self.high < math.inf):
            return math.inf
        return math.log(self.high / self.low) / 2


def run(arguments):
    """Exit code, standard output and standard error of the command line."""
    out, err = io.StringIO(), io.StringIO()
    code = 0
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main(arguments)
        except SystemExit as end:
            code = int(end.code or 0)
    return code, out.getvalue(), err.getvalue()


def ask(folder, wish=""):
    """The answer for a study; where the wish is refused, the answer without it."""
    began = perf_counter()
    command = ["chop", str(folder), "--json"]
    code, out, err = run([*command, "--reckon", wish] if wish else command)
    wish_fault = ""
    if wish and code:
        wish_fault = (out + err).strip()
        began = perf_counter()
        code, out, err = run(command)
    seconds = perf_counter() - began
    if code:
        return Answer({}, (out + err).strip() or f"exit {code}", seconds, wish_fault)
    return Answer(json.loads(out), "", seconds, wish_fault)


def interval(told):
    """A {value, low, high} as a Range; None where there is none."""
    if not isinstance(told, dict) or "low" not in told or told.get("value") is None:
        return None
    low, high = told["low"], told["high"]
    low = -math.inf if low is None else low
    return Range(told["value"], low, math.inf if high is None else high, told)


def same_size(cell, section):
    """Whether a cell of the answer is of this section, whichever side it calls the width."""
    given = [cell.get("width_mm"), cell.get("thickness_mm")]
    if section.round:
        return cell.get("diameter_mm") == section.width_mm
    if None in given:
        return False
    return sorted(given) == sorted([section.width_mm, section.depth_mm])


def strokes_text(value):
    """Strokes of a piece as text, standing or severed, in whatever form they are told."""
    if isinstance(value, dict):
        value = value.get("strokes", value.get("chops", ""))
    return str(value).replace(">", "").removesuffix(".0").removesuffix("+").strip()


def cell_for(answer, tool, section, written):
    """The `as_chopped` cell of one blade's pieces: of its size, with the very strokes written."""
    wanted = sorted(strokes_text(w) for w in written)
    cells = [
        c
        for c in answer.told.get("as_chopped") or ()
        if c.get("blade") == tool and same_size(c, section)
    ]
    for cell in cells:
        if sorted(strokes_text(s) for s in cell.get("strokes", ())) == wanted:
            return cell, True
    return (cells[0], False) if len(cells) == 1 else (None, False)


def reckoned_for(answer, tool):
    """Strokes reckoned for the wish, for one blade."""
    for line in answer.told.get("reckoned") or ():
        if line.get("blade") == tool:
            return interval(line.get("strokes"))
    return None


def contrasts_of(answer, first, second):
    """Contrasts of two heat treatments by quantity: {quantity: (form, Range)}, first to second."""
    told = answer.told
    lines = list(told.get("treatments") or ())
    if not lines:
        lines += (told.get("counts") or {}).get("treatments") or ()
    found = {}
    for line in lines:
        if {line.get("first"), line.get("second")} != {first, second}:
            continue
        name = str(line.get("quantity", "")).lower()
        quantity = next((q for q in QUANTITIES if q in name), name)
        quantity = "chop" if quantity == "stroke" else quantity
        for form in ("ratio", "difference"):
            span = interval(line.get(form))
            if span:
                turned = line["first"] != first
                found[quantity] = (form, flipped(span, form) if turned else span, line)
                break
    return found


def flipped(span, form):
    """The contrast the other way round."""
    if form == "difference":
        return Range(-span.value, -span.high, -span.low, span.extra)
    low = 1 / span.high if span.high > 0 else math.inf
    return Range(
        1 / span.value if span.value else None,
        low,
        1 / span.low if span.low > 0 else math.inf,
        span.extra,
    )


def codes(answer):
    """Codes of all doubts, with the blade where one is named."""
    return [(d["code"], d.get("where", {}).get("blade")) for d in answer.told.get("doubts", ())]
