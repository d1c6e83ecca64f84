"""The named cells: every name says what differs from a study of three blades a side.

Unless its name says otherwise a cell has two treatments of three blades (n3), a true ratio of
1.0, a last stage at the median life (stop_1.0), three stations and any schedule of stages.
Where a name has one shape, both treatments have it with the same settings; "_own" means the
same family with settings drawn for each treatment.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from tests.benchmarks.worlds import shapes
from tests.benchmarks.worlds.bench import Design, width_world
from tests.benchmarks.worlds.world import World

STOPS = (0.5, 0.75, 1.0, 1.3, 2.0, 4.0)

FAMILIES = {
    "power": shapes.power_wedge,
    "power_varies": partial(shapes.power_wedge, p_sd=0.03),
    "two_stage": shapes.two_stage,
    "slow_fast": shapes.slow_fast,
    "levelling": shapes.levelling,
    "chipping": shapes.chipping,
    "chips_local": partial(shapes.chipping, local=True),
    "burnish": shapes.burnish,
}

POWERS = ((2.0, 2.0), (1.8, 2.2), (1.6, 2.5), (1.5, 3.0))


def same(family, k=2):
    """One draw of a family's settings, shared by k treatments."""

    def draw(rng, edge):
        return (FAMILIES[family](rng, edge),) * k

    return draw


def each(*families):
    """Settings drawn for each treatment, in the order of the families."""

    def draw(rng, edge):
        return tuple(FAMILIES[one](rng, edge) for one in families)

    return draw


def powers(*exponents):
    """A power wedge for each treatment with the exponents given."""

    def draw(rng, edge):
        return tuple(shapes.power_wedge(rng, edge, p) for p in exponents)

    return draw


CELLS: dict[str, Callable[..., World]] = {}


def _add(name, made, **settings):
    CELLS[name] = partial(_run, Design(made, **settings))


def _run(design, rng):
    return width_world(rng, design)


def _shape_cells():
    for p, q in POWERS:
        for stop in (0.5, 1.0, 2.0):
            _add(f"powers_{p}_{q}_stop_{stop}_n3", powers(p, q), stop=stop)
    _add("powers_3.0_1.5_stop_0.5_n3", powers(3.0, 1.5), stop=0.5)
    _add("powers_1.5_3.0_stop_0.75_n5", powers(1.5, 3.0), counts=(5, 5), stop=0.75)
    _add("powers_1.5_3.0_stop_0.75_n8", powers(1.5, 3.0), counts=(8, 8), stop=0.75)
    _add("powers_1.5_3.0_ratio_1.2_stop_1.0_n3", powers(1.5, 3.0), ratios=(1.2,))
    for stop in STOPS:
        _add(f"power_stop_{stop}_n3", same("power"), stop=stop)
    for family in list(FAMILIES)[1:]:
        for stop in (0.5, 1.0, 2.0):
            _add(f"{family}_stop_{stop}_n3", same(family), stop=stop)
        _add(f"{family}_own_stop_1.0_n3", each(family, family))
        _add(
            f"{family}_ratio_1.2_stop_1.3_n5", same(family), counts=(5, 5), ratios=(1.2,), stop=1.3
        )
    for first, second in (
        ("two_stage", "power"),
        ("levelling", "power"),
        ("levelling", "slow_fast"),
        ("slow_fast", "two_stage"),
        ("chipping", "power"),
        ("burnish", "two_stage"),
    ):
        for stop in (0.75, 1.3):
            _add(f"{first}_v_{second}_stop_{stop}_n3", each(first, second), stop=stop)


def _design_cells():
    for n in (1, 2, 4, 5, 8):
        _add(f"power_n{n}", same("power"), counts=(n, n))
        _add(f"two_stage_n{n}", same("two_stage"), counts=(n, n), stop=1.3)
    for ratio in (1.1, 1.2, 1.5):
        _add(f"power_ratio_{ratio}_n3", same("power"), ratios=(ratio,))
        _add(f"power_ratio_{ratio}_n8", same("power"), counts=(8, 8), ratios=(ratio,))
    _add("power_2v5", same("power"), counts=(2, 5))
    _add("power_5v2_unequal_scatter", same("power"), counts=(5, 2), scatter="unequal")
    _add("chipping_2v5_stop_1.3", same("chipping"), counts=(2, 5), stop=1.3)
    for kind in ("doubling", "even", "few", "many"):
        _add(f"power_stages_{kind}_n3", same("power"), stages=kind)
    _add("two_stage_stages_few_stop_1.0_n3", same("two_stage"), stages="few")
    _add("burnish_stages_many_stop_1.3_n3", same("burnish"), stages="many", stop=1.3)
    for ending in ("random", "dull"):
        stop = 1.3 if ending == "random" else 2.5
        for family in ("power", "two_stage", "levelling"):
            _add(f"{family}_stop_{ending}_n3", same(family), ending=ending, stop=stop)
    _add("power_three_treatments_n3", same("power", 3), counts=(3, 3, 3), ratios=(1.0, 1.0))
    _add("power_three_treatments_1.2_1.5_n3", same("power", 3), counts=(3, 3, 3), ratios=(1.2, 1.5))
    mixed = each("two_stage", "power", "levelling")
    _add("mixed_three_treatments_n3", mixed, counts=(3, 3, 3), ratios=(1.0, 1.0), stop=1.3)


def _scatter_cells():
    for n in (3, 5, 8):
        _add(f"power_heavy_tails_n{n}", same("power"), counts=(n, n), df=3.0)
        _add(f"power_unequal_scatter_n{n}", same("power"), counts=(n, n), scatter="unequal")
    _add("chipping_heavy_tails_n3", same("chipping"), df=3.0, stop=1.3)
    _add("two_stage_unequal_scatter_n3", same("two_stage"), scatter="unequal", stop=1.3)
    for scatter in (0.05, 0.15, 0.3):
        _add(f"power_scatter_{scatter}_n3", same("power"), scatter=scatter)
    for gross in ("x10", "tenth", "chips"):
        _add(f"power_gross_{gross}_n3", same("power"), gross=gross)
    _add("power_gross_x10_stop_0.5_n3", same("power"), gross="x10", stop=0.5)
    _add("two_stage_gross_x10_n5", same("two_stage"), gross="x10", counts=(5, 5), stop=1.3)
    _add("power_one_station_n3", same("power"), stations=1)
    _add("two_stage_one_station_n3", same("two_stage"), stations=1, stop=1.3)
    _add("power_one_station_gross_x10_n3", same("power"), stations=1, gross="x10")
    _add("power_any_stations_missing_0.15_n3", same("power"), stations=0, missing=0.15)
    _add("power_digits_1_n3", same("power"), digits=1)


def _block_cells():
    for family in ("power", "two_stage", "chipping"):
        for control in (False, True):
            tail = "_control" if control else ""
            settings = {"control": control, "stop": 1.3}
            name = f"{family}_complete_blocks{tail}_n4"
            _add(name, same(family), counts=(4, 4), blocks="complete", **settings)
            name = f"{family}_incomplete_blocks{tail}_n5"
            _add(name, same(family), counts=(5, 5), blocks="incomplete", **settings)
        name = f"{family}_confounded_blocks_control_n4"
        _add(name, same(family), counts=(4, 4), blocks="confounded", control=True, stop=1.3)
    name = "power_complete_blocks_ratio_1.2_n5"
    _add(name, same("power"), counts=(5, 5), blocks="complete", ratios=(1.2,))
    name = "powers_1.5_3.0_confounded_blocks_control_n4"
    _add(name, powers(1.5, 3.0), counts=(4, 4), blocks="confounded", control=True)
    _add("power_complete_blocks_n2", same("power"), counts=(2, 2), blocks="complete")
    _add("power_hidden_blocks_n4", same("power"), counts=(4, 4), blocks="hidden")
    _add("power_confounded_blocks_no_control_n4", same("power"), counts=(4, 4), blocks="confounded")
    three = {"counts": (4, 4, 4), "ratios": (1.0, 1.0), "stop": 1.3}
    _add("power_three_complete_blocks_n4", same("power", 3), blocks="complete", **three)
    _add("power_three_incomplete_blocks_n4", same("power", 3), blocks="incomplete", **three)
    three["control"] = True
    name = "power_three_confounded_blocks_control_n4"
    _add(name, same("power", 3), blocks="confounded", **three)


_shape_cells()
_design_cells()
_scatter_cells()
_block_cells()
