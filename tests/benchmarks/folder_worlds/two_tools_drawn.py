"""What is drawn of a study of two choppers, T1 and C1, before the size of its pieces is settled?

Work to sever   W = A x tau_board x piece. tau_board is log-normal between boards (sd 8 to 15 %, a
                share of it goes with density, which some studies note). piece: grain, log-normal
                sd 5 to 15 %; in some studies with a heavy tail (Student t, 4 df, scaled to that
                sd, cut at 3.5 sd) and in some with small knots (5 to 15 % of pieces, x 1.12 to
                1.5, noted in half of those studies); in a third the toughness drifts along the
                board (by up to 10 % end to end). A is the true section; the typed sizes carry a
                caliper's error.
Work a stroke   e = E_tool x f_tool(s) x hit x tired x day.
  E_tool        T1 against C1: strokes fresh T1/C1 log-uniform from 0.6 to 1.6.
  hit           log-normal sd 15 to 40 % of mean one; with 2 to 12 % chance a near miss, which does
                5 to 50 % of that. The same chance for both tools.
  tired         falls within a piece (0 to 0.4 % a stroke, rested before the next piece), alike for
                both. In about 15 % of studies it also falls over the whole run, by 2 to 8 % up to
                the last piece: this is no dulling, though it looks like it.
  day           log-normal sd 0 to 5 %, common to both tools on a day (1 to 3 days).
Case            a neither dulls; b both dull alike (same rate and shape, 5 to 25 % per 100
                strokes); c T1 not, C1 by 10 to 60 %; d C1 not, T1 by 10 to 60 %. Evenly by draw.
                In b "alike" is alike in strokes made: a tool that makes more strokes ends duller,
                and a step comes at the same s.
Pieces          6 to 12 a tool on 3 to 4 boards, as many for each tool on every board; who begins
                alternates or is drawn; boards one after the other, or round and round.
"""

from types import SimpleNamespace

import numpy as np

from tests.benchmarks.folder_worlds.dulling_shapes import SHAPES, lognormal_about_one

TOOLS = ("T1", "C1")
MOST_STROKES = 400  # drawn for a piece
LUMBER_MM = ((38, 89), (38, 64), (45, 70), (25, 100), (50, 60))  # thickness, width


def drawn(rng):
    """All that is drawn, in the order in which it is drawn."""
    made = _boards(rng)
    made |= _wood_and_hand(rng)
    made |= _dulling(rng, made["case"])
    made |= _order(rng, made["boards"], made["per_board"])
    count = len(made["sequence"])
    made |= _pieces(rng, made, count)
    made |= _sections(rng, made["boards"])
    made["size_error"] = rng.normal(0, made["size_sd"], (count, 2))
    made["read_error_mm"] = rng.normal(0, 0.25, (count, 2))
    made |= _hits(rng, made, (count, MOST_STROKES))
    return SimpleNamespace(**made)


def _boards(rng):
    """The case, the boards, their toughness and the pieces of each tool on each."""
    case = str(rng.choice(list("abcd")))
    boards = int(rng.integers(3, 5))
    pieces = int(rng.integers(6, 13))
    per_board = np.full(boards, pieces // boards)
    per_board[rng.permutation(boards)[: pieces % boards]] += 1
    board_sd = rng.uniform(0.08, 0.15)
    by_density = rng.uniform(0, 0.7)
    density = rng.normal(size=boards)
    toughness = np.sqrt(by_density) * density + np.sqrt(1 - by_density) * rng.normal(size=boards)
    return {
        "case": case, "boards": boards, "pieces": pieces, "per_board": per_board,
        "board_sd": board_sd, "density": density,
        "toughness": np.exp(board_sd * toughness - board_sd**2 / 2),
    }  # fmt: skip


def _wood_and_hand(rng):
    """Scatter of grain, blows and days; how tools differ; how hands tire."""
    made = {"piece_sd": rng.uniform(0.05, 0.15)}
    made["tail"] = str(rng.choice(["normal", "normal", "heavy", "knots"]))
    drift = float(rng.normal(0, 0.05)) if rng.random() < 1 / 3 else 0.0
    made["drift"] = float(np.clip(drift, -0.1, 0.1))
    made["ratio"] = float(np.exp(rng.uniform(np.log(0.6), np.log(1.6))))
    made["hit_sd"] = rng.uniform(0.15, 0.40)
    made["near_miss_share"] = rng.uniform(0.02, 0.12)
    made["tiring_a_stroke"] = rng.uniform(0, 0.004)
    made["tiring_over_session"] = float(rng.uniform(0.02, 0.08)) if rng.random() < 0.15 else 0.0
    made["day_sd"] = rng.uniform(0, 0.05)
    made["days"] = int(rng.integers(1, 4))
    made["day_factor"] = lognormal_about_one(rng, made["day_sd"], made["days"])
    return made


def _dulling(rng, case):
    """Rate per 100 strokes and shape of each tool."""
    dulling = {"s0_share": rng.uniform(1 / 6, 1 / 2), "nick_share": rng.uniform(0.2, 0.75)}
    shape = str(rng.choice(SHAPES))
    rates, shapes = dict.fromkeys(TOOLS, 0.0), dict.fromkeys(TOOLS)
    dull = {"a": (), "b": TOOLS, "c": ("C1",), "d": ("T1",)}[case]
    if dull:
        low, high = (0.05, 0.25) if case == "b" else (0.10, 0.60)
        rates |= dict.fromkeys(dull, rng.uniform(low, high))
        shapes |= dict.fromkeys(dull, shape)
    return {"rate": rates, "shape": shapes, "dulling": dulling}


def _order(rng, boards, per_board):
    """The sequence of pieces, each (board, turn on the board, tool)."""
    strokes = float(np.exp(rng.uniform(np.log(8), np.log(32))))
    round_robin = bool(rng.random() < 0.4)
    first = str(rng.choice(["alternates", "drawn"]))
    if round_robin:
        turns = [(b, k) for k in range(per_board.max()) for b in range(boards) if k < per_board[b]]
    else:
        turns = [(b, k) for b in range(boards) for k in range(per_board[b])]
    flip = bool(rng.random() < 0.5)
    sequence = []
    for b, k in turns:
        begins = (k % 2 == 0) ^ flip if first == "alternates" else bool(rng.random() < 0.5)
        pair = TOOLS if begins else TOOLS[::-1]
        sequence += [(b, 2 * k, pair[0]), (b, 2 * k + 1, pair[1])]
    return {"strokes_drawn": strokes, "round_robin": round_robin, "sequence": sequence}


def _pieces(rng, made, count):
    """Toughness of each piece against its board's, its knots, and whether knots are noted."""
    if made["tail"] == "heavy":
        grain = np.clip(rng.standard_t(4, count) / np.sqrt(2.0), -3.5, 3.5)
    else:
        grain = rng.normal(size=count)
    piece = np.exp(made["piece_sd"] * grain - made["piece_sd"] ** 2 / 2)
    knots = np.zeros(count, int)
    if made["tail"] == "knots":
        knots = (rng.random(count) < rng.uniform(0.05, 0.15)).astype(int)
        piece = piece * np.where(knots > 0, rng.uniform(1.12, 1.5, count), 1.0)
    return {"piece": piece, "knots": knots, "knots_noted": bool(rng.random() < 0.5)}


def _sections(rng, boards):
    """Round billets by their diameter, or lumber by its width and thickness, mm."""
    if bool(rng.random() < 0.4):
        diameter = rng.uniform(36, 58) * np.exp(rng.normal(0, 0.06, boards))
        return {"round": True, "diameter_mm": diameter, "size_sd": 0.015}
    thickness, width = (float(size) for size in LUMBER_MM[rng.integers(5)])
    laid = "on edge" if rng.random() < 0.3 else "flat"
    return {
        "round": False, "thickness_mm": thickness, "width_mm": width, "size_sd": 0.004,
        "orientation": laid,
    }  # fmt: skip


def _hits(rng, made, size):
    """Work of each stroke against the mean, and which strokes nearly missed."""
    hits = lognormal_about_one(rng, made["hit_sd"], size)
    missed = rng.random(size) < made["near_miss_share"]
    return {"hits": np.where(missed, hits * rng.uniform(0.05, 0.5, size), hits), "missed": missed}
