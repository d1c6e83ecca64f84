"""How many strokes does each piece of a drawn study take? The first n whose work severs it.

Strokes are the first n whose work together reaches W, with no rounding beyond that. Sections are
set so that pieces take 5 to 60 strokes: the scatter is drawn first and kept while the base is
shifted, so that no tail is thrown away.
"""

from dataclasses import dataclass

import numpy as np

from tests.benchmarks.folder_worlds.dulling_shapes import dulled, lognormal_about_one
from tests.benchmarks.folder_worlds.two_tools_drawn import MOST_STROKES, TOOLS

TOUGHNESS_J_CM2 = 12.0  # of the mean wood
FEWEST, MOST = 5, 60  # strokes of a piece
STROKES = np.arange(MOST_STROKES)


@dataclass(frozen=True)
class Severed:
    """A piece as it was severed."""

    place: int  # in the sequence of pieces
    tool: str
    board: int
    day: int
    strokes: int
    middle: float  # strokes of the tool before it and half of its own
    dulled: float  # G: its strokes over those that a fresh edge would have used
    tired: float  # what the session had left of a stroke's work
    near_misses: int
    work_j: float


@dataclass(frozen=True)
class Chopped:
    """A study as it was chopped: pieces in their order, sections, and each tool's figures."""

    pieces: list
    sections: list
    stroke_j: dict
    strokes: dict
    runs: dict


def sections(made):
    """Width or diameter, thickness (mm) and area (cm²) of each piece."""
    found = []
    for (board, _, _), error in zip(made.sequence, made.size_error, strict=True):
        grown = np.exp(error)
        if made.round:
            diameter = made.diameter_mm[board] * grown[0]
            found.append((diameter, None, np.pi / 4 * diameter**2 / 100))
        else:
            width, thickness = made.width_mm * grown[0], made.thickness_mm * grown[1]
            found.append((width, thickness, width * thickness / 100))
    return found


def chopped(made, base):
    """The study at a base of strokes a piece; the rate holds over the run as it came out."""
    found = _once(made, base, None)
    for _ in range(6):
        if found is None:
            return None
        found = _once(made, base, {t: 0.5 * found.runs[t] + 0.5 * found.strokes[t] for t in TOOLS})
    return found


def _expected_runs(made, mean_area, stroke_j):
    """Strokes of each tool over the study: fresh, and some more for dulling."""
    runs = {}
    for tool in TOOLS:
        fresh = made.pieces * TOUGHNESS_J_CM2 * mean_area / stroke_j[tool] * 1.06
        runs[tool] = fresh * (1 + made.rate[tool] * min(fresh, 500) / 200)
    return runs


def _once(made, base, runs):
    """The study with dulling scaled to given runs; None where a piece will not part."""
    cut = sections(made)
    mean_area = np.mean([area for _, _, area in cut])
    unit = TOUGHNESS_J_CM2 * mean_area / base  # J a stroke of an even pair
    stroke_j = {"T1": unit / np.sqrt(made.ratio), "C1": unit * np.sqrt(made.ratio)}
    if runs is None:
        runs = _expected_runs(made, mean_area, stroke_j)
    if made.case == "b":
        runs["T1"] = runs["C1"] = float(np.mean([runs["T1"], runs["C1"]]))
    needed = {tool: dulled(tool, made, runs[tool]) for tool in TOOLS}
    done, pieces = dict.fromkeys(TOOLS, 0), []
    for place, (_, _, tool) in enumerate(made.sequence):
        shares = 1 / needed[tool](done[tool] + np.arange(float(MOST_STROKES)))
        piece = _severed(made, place, cut[place][2], (done[tool], stroke_j[tool], shares))
        if piece is None:
            return None
        pieces.append(piece)
        done[tool] += piece.strokes
    return Chopped(pieces, cut, stroke_j, done, runs)


def _severed(made, place, area_cm2, edge):
    """One piece by an edge (strokes done, J a stroke, shares of it left); None if it stays up."""
    done, stroke_j, shares = edge
    board, turn, tool = made.sequence[place]
    along = turn / max(2 * made.per_board[board] - 1, 1) - 0.5
    work = area_cm2 * TOUGHNESS_J_CM2 * made.toughness[board] * made.piece[place]
    work *= np.exp(2 * made.drift * along)
    day = min(int(place * made.days / len(made.sequence)), made.days - 1)
    tired = np.maximum(1 - made.tiring_a_stroke * STROKES, 0.3)
    session = 1 - made.tiring_over_session * place / (len(made.sequence) - 1)
    each = stroke_j * shares * made.hits[place] * tired * session * made.day_factor[day]
    total = np.cumsum(each)
    if total[-1] < work:
        return None
    count = int(np.searchsorted(total, work) + 1)
    left, misses = float(1 / shares[:count].mean()), int(made.missed[place][:count].sum())
    middle = done + count / 2
    return Severed(place, tool, board, day, count, middle, left, session, misses, work)


def settled(made):
    """The study, its base shifted until all pieces take 5 to 60 strokes; None if they cannot."""
    base = made.strokes_drawn
    for _ in range(40):
        found = chopped(made, base)
        if found is None:
            base *= 0.85
            continue
        counts = [piece.strokes for piece in found.pieces]
        if max(counts) > MOST and min(counts) < FEWEST:
            return None
        if max(counts) > MOST:
            base *= 0.93
        elif min(counts) < FEWEST:
            base *= 1.06
        else:
            return found
    return None


def fresh_counts_ratio(rng, made, found):
    """Expected strokes T1/C1 on the study's pieces, edges fresh, over 200 swings of the dice."""
    tired = np.maximum(1 - made.tiring_a_stroke * np.arange(150), 0.3)
    mean = {}
    for tool in TOOLS:
        hits = lognormal_about_one(rng, made.hit_sd, (200, 150))
        missed = rng.random(hits.shape) < made.near_miss_share
        hits = np.where(missed, hits * rng.uniform(0.05, 0.5, hits.shape), hits)
        total = np.cumsum(found.stroke_j[tool] * hits * tired, axis=1)
        counts = [(total < piece.work_j).sum(axis=1).mean() + 1 for piece in found.pieces]
        mean[tool] = np.mean(counts)
    return mean["T1"] / mean["C1"]
