"""The named cells: every name says what differs from a study of three blades a side.

Unless its name says otherwise a cell has two treatments of three blades (n3), a true ratio of
1.0, a last stage at the median life (stop_1.0), three stations and any schedule of stages.
Where a name has one shape, both treatments have it with the same settings; "_own" means the
same family with settings drawn for each treatment. n is the number of blades of a treatment,
rolls that of the rolls where some rolls lack a treatment. Lives and checks go on until the blade
is dull unless a stop or "out_of_rope" is named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from tests.benchmarks.worlds import shapes, trials
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


def fresh_differs(rng, edge):
    """A power wedge of one exponent, the second treatment fresh a quarter wider or narrower."""
    p = rng.uniform(1.3, 3.2)
    other = replace(edge, fresh=edge.fresh * rng.choice([0.8, 1.25]))
    return shapes.power_wedge(rng, edge, p), shapes.power_wedge(rng, other, p)


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
        _add(f"power_own_stop_{stop}_n3", each("power", "power"), stop=stop)
    _add("power_own_stop_1.0_n8", each("power", "power"), counts=(8, 8))
    _add("power_fresh_differs_stop_0.75_n3", fresh_differs, stop=0.75)
    for family in list(FAMILIES)[1:]:
        for stop in STOPS if family in ("two_stage", "levelling") else (0.5, 1.0, 2.0):
            _add(f"{family}_stop_{stop}_n3", same(family), stop=stop)
        _add(f"{family}_stop_1.3_n8", same(family), counts=(8, 8), stop=1.3)
        _add(f"{family}_own_stop_1.0_n3", each(family, family))
        _add(f"{family}_own_stop_0.75_n5", each(family, family), counts=(5, 5), stop=0.75)
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
            name = f"{family}_incomplete_blocks{tail}_rolls_5"
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
    _add("power_three_incomplete_blocks_rolls_4", same("power", 3), blocks="incomplete", **three)
    three["control"] = True
    name = "power_three_confounded_blocks_control_n4"
    _add(name, same("power", 3), blocks="confounded", **three)


def _add_checks(name, made, checking, **settings):
    CELLS[name] = partial(_checked, Design(made, **settings), checking)


def _checked(design, checking, rng):
    return trials.check_world(rng, design, checking)


def _check_cells():
    check = trials.Checking
    for stages in ("fine", "middle", "coarse"):
        for n in (2, 3, 5):
            name = f"pass_fail_{stages}_n{n}"
            _add_checks(name, same("power"), check(stages), counts=(n, n))
            settings = {"counts": (n, n), "ratios": (1.0,)}
            name = f"grades_{stages}_n{n}"
            _add_checks(name, same("two_stage"), check(stages, trials.LADDER), **settings)
    for ratio in (1.2, 1.5):
        settings = {"counts": (5, 5), "ratios": (ratio,)}
        _add_checks(f"pass_fail_fine_ratio_{ratio}_n5", same("power"), check("fine"), **settings)
        name = f"grades_middle_ratio_{ratio}_n5"
        _add_checks(name, same("power"), check("middle", trials.LADDER), **settings)
    out_of_rope = check("fine", stop=1.0)
    _add_checks("pass_fail_fine_stop_1.0_n5", same("power"), out_of_rope, counts=(5, 5))
    _add_checks("pass_fail_fine_goes_on_n3", same("power"), check("fine", goes_on=True))
    _add_checks("pass_fail_middle_heavy_tails_n5", same("power"), check("middle"), df=3.0)
    _add_checks("pass_fail_middle_2v5", same("power"), check("middle"), counts=(2, 5))
    settings = {"counts": (4, 4), "blocks": "complete"}
    _add_checks("pass_fail_middle_complete_blocks_n4", same("power"), check("middle"), **settings)
    graded = check("middle", trials.LADDER)
    early = check("middle", trials.LADDER, stop=0.7)
    _add_checks("grades_middle_powers_1.5_3.0_n3", powers(1.5, 3.0), graded)
    _add_checks("grades_middle_levelling_v_slow_fast_n3", each("levelling", "slow_fast"), graded)
    _add_checks("grades_middle_stop_0.7_n5", same("power"), early, counts=(5, 5))
    _add_checks("grades_middle_powers_1.5_3.0_stop_0.7_n5", powers(1.5, 3.0), early, counts=(5, 5))
    _add_checks("grades_fine_chipping_n3", same("chipping"), check("fine", trials.LADDER))
    three = {"counts": (3, 3, 3), "ratios": (1.0, 1.0)}
    _add_checks("grades_middle_three_treatments_n3", same("power", 3), graded, **three)


def _add_lives(name, every=0, median=(100.0, 1200.0), k=2, **settings):
    settings.setdefault("stop", 4.0)
    CELLS[name] = partial(_typed, Design(same("power", k), **settings), every, median)


def _typed(design, every, median, rng):
    return trials.life_world(rng, design, every, median)


def _life_cells():
    for n in (1, 2, 3, 5, 8):
        _add_lives(f"lives_exact_n{n}", counts=(n, n))
    for n in (3, 5):
        _add_lives(f"lives_every_20_n{n}", 20, (60.0, 400.0), counts=(n, n))
    _add_lives("lives_every_20_short_n5", 20, (15.0, 50.0), counts=(5, 5))
    _add_lives("lives_mixed_n5", -1, (60.0, 400.0), counts=(5, 5))
    for n in (3, 5, 8):
        _add_lives(f"lives_out_of_rope_n{n}", counts=(n, n), stop=1.1)
    _add_lives("lives_every_20_out_of_rope_n5", 20, (60.0, 400.0), counts=(5, 5), stop=1.1)
    for ratio in (1.1, 1.2, 1.5):
        _add_lives(f"lives_exact_ratio_{ratio}_n5", counts=(5, 5), ratios=(ratio,))
    _add_lives("lives_out_of_rope_ratio_1.5_n5", counts=(5, 5), ratios=(1.5,), stop=1.1)
    _add_lives("lives_heavy_tails_n5", counts=(5, 5), df=3.0)
    _add_lives("lives_unequal_scatter_n5", counts=(5, 5), scatter="unequal")
    _add_lives("lives_2v5", counts=(2, 5))
    _add_lives("lives_5v2_unequal_scatter", counts=(5, 2), scatter="unequal")
    _add_lives("lives_complete_blocks_n4", counts=(4, 4), blocks="complete")
    _add_lives("lives_complete_blocks_n2", counts=(2, 2), blocks="complete")
    _add_lives("lives_three_treatments_n3", k=3, counts=(3, 3, 3), ratios=(1.0, 1.0))
    _add_lives("lives_three_treatments_1.2_1.5_n3", k=3, counts=(3, 3, 3), ratios=(1.2, 1.5))


def _add_force(name, made, **settings):
    CELLS[name] = partial(_severed, Design(made, **settings))


def _severed(design, rng):
    return trials.force_world(rng, design)


def _carded(settings, rng):
    return trials.card_world(rng, **settings)


def _force_and_card_cells():
    for stop in (0.75, 1.3, 2.0):
        _add_force(f"force_levelling_stop_{stop}_n3", same("levelling"), stop=stop)
    five = {"counts": (5, 5), "stop": 1.3}
    _add_force("force_levelling_ratio_1.2_n5", same("levelling"), ratios=(1.2,), **five)
    _add_force("force_levelling_own_n5", each("levelling", "levelling"), **five)
    _add_force("force_levelling_dull_n3", same("levelling"), ending="dull", stop=2.5)
    for n in (1, 2, 3, 5):
        CELLS[f"card_n{n}"] = partial(_carded, {"counts": (n, n)})
    CELLS["card_ratio_1.2_n5"] = partial(_carded, {"counts": (5, 5), "ratio": 1.2})
    settings = {"counts": (3, 3), "ratio": 1.0, "ratio_initial": 1.1}
    CELLS["card_initial_1.1_all_1.0_n3"] = partial(_carded, settings)


_shape_cells()
_design_cells()
_scatter_cells()
_block_cells()
_check_cells()
_life_cells()
_force_and_card_cells()
