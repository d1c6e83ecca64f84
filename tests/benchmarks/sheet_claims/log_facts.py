"""What does a log say of one tool? chops.csv and study.toml, read by the standard library alone."""

import csv
import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path

MM = {"": 1.0, "mm": 1.0, "cm": 10.0, "in": 25.4, '"': 25.4, "g": 1.0, "oz": 28.349523125}
PIECES = ("billet", "lumber")
NUMBER = r"(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"


def amount(typed):
    """A typed length or mass in mm or g; None for a blank."""
    told = re.fullmatch(rf"\s*{NUMBER}\s*([a-z\"]*)\s*", str(typed or ""))
    if not told:
        return None
    return float(sum(Fraction(part) for part in told[1].split())) * MM[told[2]]


@dataclass(frozen=True)
class Piece:
    """One piece as logged; `size` in mm, sorted."""

    row: int
    strokes: int
    standing: bool
    misses: int | None
    wood: str
    size: tuple[float, ...]
    typed_size: tuple[str, ...]
    orientation: str
    excluded: bool


@dataclass(frozen=True)
class Look:
    """Damage as written at one look, after so many strokes of that edge and of the whole test."""

    strokes: int
    in_all: int
    edge: int
    chips: int | None
    largest: float | None
    rolls: int | None


@dataclass(frozen=True)
class LogFacts:
    """All that the log holds of one tool, and the words that are another tool's."""

    tool: str
    blade: dict
    study: dict
    rows: tuple[dict, ...]
    everyone: tuple[dict, ...]

    @cached_property
    def pieces(self):
        """Pieces that count, in order."""
        return tuple(p for p in self.all_pieces if not p.excluded)

    @cached_property
    def all_pieces(self):
        """Every piece, those left out among them."""
        return tuple(piece(n, r) for n, r in enumerate(self.rows) if r["kind"] in PIECES)

    @property
    def strokes(self):
        """Strokes of all pieces that count."""
        return sum(p.strokes for p in self.pieces)

    @property
    def standing(self):
        """How many pieces still stood."""
        return sum(p.standing for p in self.pieces)

    @cached_property
    def misses(self):
        """Near misses of all pieces; None where any was not written."""
        counts = [p.misses for p in self.pieces]
        return None if None in counts or not counts else sum(counts)

    @cached_property
    def groups(self):
        """Pieces by wood, size and how they lay."""
        found: dict = {}
        for p in self.pieces:
            found.setdefault((p.wood, p.size, p.orientation), []).append(p)
        return found

    @cached_property
    def looks(self):
        """Every look, with the strokes before it."""
        found, edge, on_edge, in_all = [], 0, 0, 0
        for row in self.rows:
            if row["kind"] == "touch-up":
                edge, on_edge = edge + 1, 0
            done = strokes_in(row)
            on_edge, in_all = on_edge + done, in_all + done
            chips, rolls = row.get("chips_count"), row.get("rolls_count")
            if chips or rolls:
                largest = amount(row.get("largest_chip_mm"))
                seen = [int(x) if x else None for x in (chips, rolls)]
                found.append(Look(on_edge, in_all, edge, seen[0], largest, seen[1]))
        return tuple(found)

    @property
    def touch_ups(self):
        """How often the edge was touched up, as logged."""
        return sum(r["kind"] == "touch-up" for r in self.rows)

    @cached_property
    def touched_after(self):
        """Strokes of the whole test up to each touch-up."""
        return tuple(
            sum(strokes_in(r) for r in self.rows[:n])
            for n, row in enumerate(self.rows)
            if row["kind"] == "touch-up"
        )

    @property
    def swings(self):
        """Whether anything of the swing was typed."""
        return self.tool in self.study.get("handling", {})

    def of_kind(self, kind):
        """Rows of one kind of trial."""
        return [r for r in self.rows if r["kind"] == kind]

    @cached_property
    def beside(self):
        """Facts of the shop's own blades that this tool was chopped beside."""
        own = {self.study.get("control"), self.study.get("reference")} - {self.tool}
        return tuple(
            LogFacts(
                blade["id"],
                blade,
                self.study,
                tuple(row for row in self.everyone if row["blade"] == blade["id"]),
                self.everyone,
            )
            for blade in self.study["blades"]
            if blade["id"] in own
        )

    def others(self):
        """Remarks of other tools: of their rows, and of blades that do not stand beside it."""
        shown = {self.tool, *(one.tool for one in self.beside)}
        said = [b.get("note", "") for b in self.study["blades"] if b["id"] not in shown]
        said += [r.get(k, "") for r in self.everyone if r["blade"] != self.tool for k in WORDS]
        own = {r.get(k, "") for r in self.rows for k in WORDS}
        return sorted({s for s in said if s} - own)


WORDS = ("note", "mishap", "exclude")


def strokes_in(row):
    """Strokes of one row: of a piece, or a single chop."""
    if row["kind"] == "single":
        return 1
    return int((row.get("chops") or "0").lstrip(">")) if row["kind"] in PIECES else 0


def piece(number, row):
    """One piece of the log."""
    typed = tuple(row[k] for k in ("diameter_mm", "width_mm", "thickness_mm") if row.get(k))
    misses = row.get("near_misses")
    return Piece(
        number,
        strokes_in(row),
        row["chops"].startswith(">"),
        int(misses) if misses else None,
        row.get("species", ""),
        tuple(sorted(amount(t) for t in typed)),
        typed,
        row.get("orientation", ""),
        bool(row.get("exclude")),
    )


def facts_of(folder, tool):
    """What the log in this folder says of one tool."""
    study = tomllib.loads(Path(folder, "study.toml").read_text(encoding="utf-8"))
    with open(Path(folder, "chops.csv"), encoding="utf-8", newline="") as stream:
        everyone = tuple(csv.DictReader(stream))
    rows = tuple(r for r in everyone if r["blade"] == tool)
    blade = next(b for b in study["blades"] if b["id"] == tool)
    return LogFacts(tool, blade, study, rows, everyone)
