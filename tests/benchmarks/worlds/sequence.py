"""Blades made one pair at a time until the maker is satisfied."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import numpy as np

from tests.benchmarks.worlds import bench, trials
from tests.benchmarks.worlds.cells import powers, same
from tests.benchmarks.worlds.world import World, join

RATIOS = (1.0, 1.2, 1.5)
SCATTERS = (0.1, 0.15, 0.25)


def width_pairs(rng, design) -> Iterator[World]:
    """Pairs of one study without end, each a world of one blade of each treatment.

    Settings, stages and populations stay those of the study; `world.join` puts pairs together.
    With "complete" blocks each pair has a roll of its own.
    """
    study = bench.draw_study(rng, design)
    pair = 0
    while True:
        pair += 1
        yield bench.read_widths(rng, design, study, _pair(design, pair))


def _pair(design, pair):
    """The runs of the pair of that number."""
    kinds = np.arange(len(design.counts))
    names = np.array([f"{bench.LETTERS[kind]}{pair}" for kind in kinds])
    roll = pair - 1 if design.blocks else -1
    return bench.Runs(kinds, names, np.full(len(kinds), roll))


def life_pairs(rng, design, every=0) -> Iterator[World]:
    """Pairs of typed lives without end, as `width_pairs`."""
    study = bench.draw_study(rng, design)
    noise = rng.uniform(0.02, 0.06)
    pair = 0
    while True:
        pair += 1
        yield trials.read_lives(rng, study, _pair(design, pair), every, noise)


def _stream(design, rng, make=width_pairs):
    return make(rng, design)


STREAMS: dict[str, Callable[..., Iterator[World]]] = {}


def _add_all():
    for ratio in RATIOS:
        for scatter in SCATTERS:
            settings = {"counts": (1, 1), "ratios": (ratio,), "scatter": scatter, "stop": 1.3}
            design = bench.Design(same("power"), **settings)
            tail = f"ratio_{ratio}_scatter_{scatter}"
            STREAMS[f"pairs_power_{tail}"] = partial(_stream, design)
            typed = replace(design, stop=3.0)
            STREAMS[f"pairs_lives_{tail}"] = partial(_stream, typed, make=life_pairs)
        settings["scatter"] = None
        for family in ("two_stage", "chipping", "levelling"):
            design = bench.Design(same(family), **settings)
            STREAMS[f"pairs_{family}_ratio_{ratio}"] = partial(_stream, design)
        design = bench.Design(same("power"), **settings, blocks="complete")
        STREAMS[f"pairs_power_blocks_ratio_{ratio}"] = partial(_stream, design)
        settings["stop"] = 0.75
        design = bench.Design(powers(1.5, 3.0), **settings)
        STREAMS[f"pairs_powers_1.5_3.0_stop_0.75_ratio_{ratio}"] = partial(_stream, design)
        settings["stop"] = 1.3
        design = bench.Design(same("power"), **settings, df=3.0)
        STREAMS[f"pairs_power_heavy_tails_ratio_{ratio}"] = partial(_stream, design)


_add_all()


def first_pairs(stream, count):
    """The world of the first pairs of a stream."""
    return join(next(stream) for _ in range(count))
