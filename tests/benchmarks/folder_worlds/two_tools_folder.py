"""What does the maker of a study of two choppers type, and what is the truth of it?

    python -m tests.benchmarks.folder_worlds.two_tools_folder FIRST LAST FOLDER

Each seed gives FOLDER/chop_SEED/ with study.toml, the protocol sever_in_turn.toml, chops.csv and
truth.json. In the truth:

  G_j = strokes used on piece j / strokes a fresh edge would have used = 1 / mean f over its
  strokes; s_j = strokes made before piece j + half of its own.
  change_per_100_pct          100 (exp(100 b) - 1), b = least-squares slope of ln G_j over s_j:
                              the main figure
  change_per_100_linear_pct   10^4 x least-squares slope of G_j over s_j, in % of a fresh edge's
                              strokes
  change_end_to_end_pct       (G_last/G_first)^(100/(s_last-s_first)) - 1
  change_apparent_pct         as the main figure, with the tiring over the session put into G
  rate_drawn_pct              the rate drawn: mean rise of g over the run, % of fresh per 100
                              strokes
  ratio_fresh                 T1/C1 strokes for the same work, both edges fresh (E_C1/E_T1; no
                              whole-number effect)
  ratio_fresh_counted         T1/C1 expected counts of this study's pieces, fresh edges, by
                              simulation
  ratio_as_chopped            T1/C1 of ratio_fresh x mean G over the pieces: as the edges were in
                              this run
  redrawn                     whole draws that were thrown away first
"""

import json
import sys
from pathlib import Path

import numpy as np

from tests.benchmarks.folder_worlds.dulling_shapes import slope
from tests.benchmarks.folder_worlds.two_tools_chop import fresh_counts_ratio, settled
from tests.benchmarks.folder_worlds.two_tools_drawn import TOOLS, drawn

WOODS = (
    ("European ash", (620, 740)), ("English oak", (620, 740)), ("spruce (softwood)", (400, 480)),
    ("lime tree (hardwood)", (470, 560)), ("Scots pine", (470, 560)),
)  # fmt: skip
COLUMNS = (
    "blade", "kind", "order", "chops", "near_misses", "width_mm", "thickness_mm", "diameter_mm",
    "orientation", "species", "moisture_pct", "density_kg_m3", "knots", "day", "board", "mishap",
    "note",
)  # fmt: skip
PROTOCOL = """id = "sever_in_turn"
title = "Sever pieces in turn"
purpose = "Two tools sever pieces of the same boards in turn; the strokes are counted."
log = "chops"
life_unit = "chops"
stages = [{stages}]
chop_kinds = ["{kind}"]
closing = []
control_blade = "the comparison tool"
cautions = ["Clamp the piece; nobody stands in line with the swing."]

[medium]
kind = "seasoned wood, one species"
size = "{size}"
batch = "board"
source = "common practice, no source"

[cut]
stroke = "chop"
backing = "none, clamped at both sides"
how = "Clamped, cut square across, strokes counted until it falls."
source = "common practice, no source"

[[readings]]
name = "chips_count"
title = "chips on the edge"
kind = "number"
unit = ""
check = "Look at the whole edge against the light."
repeats = 1
at_stations = false
dulling = "rises"
source = "common practice, no source"

[edge_preparation]
included_angle_deg = 32
wire_edge = "stropped off"
finish = "leather strop after a fine stone"
source = "common practice, no source"

[sources]
stages = "common practice, no source"
control_blade = "common practice, no source"
cautions = "common practice, no source"
"""

STUDY = """title = "Two choppers in turn, seed {seed}"
protocol = "sever_in_turn.toml"
control = "C1"

[[heat_treatments]]
id = "new"
title = "new temper"

[[heat_treatments]]
id = "usual"
title = "usual temper"

[[blades]]
id = "T1"
heat_treatment = "new"
included_angle_deg = 32
edge_length_mm = {len_t}
mass_g = {mass_t}

[[blades]]
id = "C1"
heat_treatment = "usual"
included_angle_deg = 32
edge_length_mm = {len_c}
mass_g = {mass_c}
"""


def study_of(seed):
    """The generator of a seed, what was drawn, how it was chopped, and draws thrown away."""
    rng = np.random.default_rng([20451, seed])
    redrawn = 0
    while True:
        made = drawn(rng)
        found = settled(made)
        if found is not None:
            return rng, made, found, redrawn
        redrawn += 1


def nick_at(made, found, tool):
    """The tool's stroke at which a nick came; None where none did."""
    stepped = made.shape[tool] == "step"
    return made.dulling["nick_share"] * found.runs[tool] if stepped else None


def noted(rng, boards, density):
    """What the maker notes: the wood and its batch, near misses, mishaps."""
    wood, (low, high) = WOODS[rng.integers(len(WOODS))]
    dense = np.round((low + high) / 2 * (1 + 0.06 * density)).astype(int)
    dense_noted = bool("(" in wood or rng.random() < 0.5)
    moist = np.round(rng.uniform(9, 16) + rng.normal(0, 0.6, boards), 1)
    return {
        "wood": wood, "density": dense if dense_noted else [""] * boards, "moisture": moist,
        "misses": bool(rng.random() < 0.5), "mishaps": bool(rng.random() < 0.5),
    }  # fmt: skip


def rows(made, found, note):
    """The rows of chops.csv, each a list of cells."""
    order, before = dict.fromkeys(TOOLS, 0), dict.fromkeys(TOOLS, 0)
    for piece in found.pieces:
        tool, board = piece.tool, piece.board
        order[tool] += 1
        nick = nick_at(made, found, tool)
        nicked = nick is not None and before[tool] <= nick < before[tool] + piece.strokes
        before[tool] += piece.strokes
        first, second, _ = found.sections[piece.place]
        error = made.read_error_mm[piece.place]
        typed = f"{first + error[0]:.1f}"
        sizes = ["", "", typed, ""] if made.round else [
            typed, f"{second + error[1]:.1f}", "", made.orientation,
        ]  # fmt: skip
        yield [
            tool, kind_of(made), order[tool], piece.strokes,
            piece.near_misses if note["misses"] else "", *sizes,
            note["wood"], note["moisture"][board], note["density"][board],
            int(made.knots[piece.place]) if made.knots_noted else "",
            piece.day + 1, f"board {board + 1}",
            "hit something hard in the wood" if nicked and note["mishaps"] else "", "",
        ]  # fmt: skip


def kind_of(made):
    """The kind of piece, as the log calls it."""
    return "billet" if made.round else "lumber"


def tool_truth(made, found, tool):
    """What is true of one tool."""
    pieces = [piece for piece in found.pieces if piece.tool == tool]
    s = np.array([piece.middle for piece in pieces])
    used = np.array([piece.dulled for piece in pieces])
    apparent = used / np.array([piece.tired for piece in pieces])
    ends = (used[-1] / used[0]) ** (100 / (s[-1] - s[0]))
    return {
        "dulls": made.rate[tool] > 0, "shape": made.shape[tool],
        "rate_drawn_pct": 100 * made.rate[tool],
        "change_per_100_pct": 100 * float(np.expm1(100 * slope(s, np.log(used)))),
        "change_per_100_linear_pct": 1e4 * slope(s, used),
        "change_end_to_end_pct": 100 * float(ends - 1),
        "change_apparent_pct": 100 * float(np.expm1(100 * slope(s, np.log(apparent)))),
        "strokes_total": found.strokes[tool], "pieces": len(pieces),
        "G": [round(float(v), 4) for v in used], "s": [float(v) for v in s],
        "chops": [piece.strokes for piece in pieces], "nick_at": nick_at(made, found, tool),
    }  # fmt: skip


def truth_of_two_tools(rng, made, found):
    """What is true of the study."""
    tools = {tool: tool_truth(made, found, tool) for tool in TOOLS}
    counted = float(fresh_counts_ratio(rng, made, found))
    dulled = float(np.mean(tools["T1"]["G"]) / np.mean(tools["C1"]["G"]))
    return {
        "case": made.case, "tools": tools, "ratio_fresh": made.ratio,
        "ratio_fresh_counted": counted, "ratio_as_chopped": made.ratio * dulled,
        "session_tiring_pct": 100 * made.tiring_over_session,
        "board_sd_pct": 100 * made.board_sd, "piece_sd_pct": 100 * made.piece_sd,
        "tail": made.tail, "board_drift": 2 * made.drift, "hit_sd_pct": 100 * made.hit_sd,
        "near_miss_share": made.near_miss_share, "tire_piece_pct": 100 * made.tiring_a_stroke,
        "day_sd_pct": 100 * made.day_sd, "days": made.days, "boards": made.boards,
        "pieces_a_tool": made.pieces, "round_robin": made.round_robin,
    }  # fmt: skip


def write_two_tools(seed, place):
    """Write the study of a seed into a folder of its own below `place`; its folder and truth."""
    rng, made, found, redrawn = study_of(seed)
    folder = Path(place) / f"chop_{seed:05d}"
    folder.mkdir(parents=True, exist_ok=True)
    note = noted(rng, made.boards, made.density)
    lines = [",".join(map(str, cells)) for cells in (COLUMNS, *rows(made, found, note))]
    size = "round" if made.round else f"{made.width_mm:.0f} mm by {made.thickness_mm:.0f} mm"
    stages = ", ".join(str(k) for k in range(1, made.pieces + 1))
    length_t, length_c = (int(rng.integers(180, 260)) for _ in TOOLS)
    mass_t, mass_c = (int(rng.integers(550, 900)) for _ in TOOLS)
    typed = {"len_t": length_t, "len_c": length_c, "mass_t": mass_t, "mass_c": mass_c}
    truth = {"world": "chop_world", "seed": seed} | truth_of_two_tools(rng, made, found)
    truth |= {"wood": note["wood"], "kind": kind_of(made)}
    truth["board_toughness"] = [round(float(v), 4) for v in made.toughness]
    truth["redrawn"] = redrawn
    texts = {
        "chops.csv": "\n".join(lines) + "\n",
        "sever_in_turn.toml": PROTOCOL.format(stages=stages, kind=kind_of(made), size=size),
        "study.toml": STUDY.format(seed=seed, **typed),
        "truth.json": json.dumps(truth, indent=1) + "\n",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder, truth


if __name__ == "__main__":
    if len(sys.argv) != 4:
        sys.exit("two_tools_folder FIRST LAST FOLDER")
    for each in range(int(sys.argv[1]), int(sys.argv[2]) + 1):
        write_two_tools(each, sys.argv[3])
