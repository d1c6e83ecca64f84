"""Claims about mystery steel, hardness and packs."""

from math import sqrt

from edgetest.steel.case_doubts import CARBIDES_FROM_PCT
from edgetest.steel.diffusion import DIFFUSIVITIES
from edgetest.steel.fit_for_use import LEAST_LIFE
from edgetest.steel.hardness import fit_hardness
from edgetest.steel.pack_potential import U_PCT
from edgetest.steel.phase_limits import EUTECTIC_C, a3_c
from edgetest.steel.survives import FACTORS
from edgetest.steel.temper_softening import LEAST_SD_HRC, CaseTemper
from edgetest.steel.tried_blades import LEAST_STROKES
from edgetest.steel.usual_pack import USUAL_PACK, WANTED_HRC
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.guide.claims import Claim
from tests.guide.figures import cell, column, holds, numbers, row, table, to, word


def errors(head):
    """Least and most error of the chances over the five worlds."""
    found = column("steel_calibration", head)
    return min(found), max(found)


def trials():
    """Trials of the numbers, headlines that changed, and those from reuse to leave or back."""
    (of,) = [numbers(head)[0] for head in table("steel_numbers")[0] if "trials" in head]
    turned = cell(
        "steel_numbers", table("steel_numbers")[0][1], "turns from reuse to leave or back"
    )
    changed = cell("steel_numbers", table("steel_numbers")[0][1], "another action")
    return int(of), int(changed), word(turned)


def done(temperature, hours, head="hard everywhere"):
    """Per cent of cases whose 1 mm edge is hard, by temperature and hours."""
    return cell("case_and_grind", head, temperature, hours)


def hours_that_do():
    """Hours that make a 1 mm edge hard nearly surely, at 900 and 870 °C; two are too few."""
    assert done("900", "2") < 80
    enough = [
        next(
            word(float(h))
            for t, h, *_ in table("case_and_grind")[1]
            if t == at and done(t, h) >= 95
        )
        for at in ("900", "870")
    ]
    return enough[0].capitalize(), enough[1]


def days():
    """A section of 6 mm takes days."""
    assert cell("hours_through", "hours", "6.0") > 48
    return ()


def saved():
    """With 40 blades the mean hours lie below known steel in every world, hardly so in one."""
    told = [numbers(each[1])[0] for each in table("steel_hours_worlds")[1]]
    assert max(told) < 80
    return word(len(told))


def after_twenty():
    """After twenty settled pieces the error is 0.05 or less in every world, to two digits."""
    assert round(errors("error after 20")[1], 2) <= 0.05
    return ()


def reading_over_files():
    """Hardness is known better by one reading than by eight files of one set."""

    def wide(**told):
        hardness = fit_hardness(**told).hardness
        return hardness.high - hardness.low

    assert wide(value=[58.0]) < wide(lower=[55.0] * 8, upper=[60.0] * 8)
    return ()


def charts_part():
    """How far the two tempering charts part at most, at the tempers of the table, HRC."""
    told = [CaseTemper(numbers(each[0])[0]) for each in table("temper_loss")[1]]
    return max(2 * sqrt(each.softening_hrc()[1] ** 2 - LEAST_SD_HRC**2) for each in told)


def spread_of_published():
    """How many times published diffusivities of mild steel differ at a pack's usual heats."""
    return max(
        max(found) / min(found)
        for found in (
            [float(each.mm2_h(900.0, 0.5)) for each in DIFFUSIVITIES.values()]
            for temperature in (850.0, 900.0, 950.0)
        )
    )


CLAIMS = (
    Claim(
        "README",
        "would change if a number behind it were half as large again",
        lambda: holds(FACTORS[0] == 1.5),
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "off by {:.2f} to {:.2f}, because",
        lambda: errors("error"),
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "After twenty settled pieces of the heap they were off by {:.2f} to {:.2f}",
        lambda: errors("error after 20"),
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "half as large again and a third smaller. In {:,} such trials the headline changed {} "
        "times, {} of them between using the steel and leaving it",
        trials,
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "With 40 blades at stake it saved hours in all {} worlds",
        saved,
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "last at least {} times as long as the known blade",
        lambda: LEAST_LIFE,
    ),
    Claim(
        "why/why_no_alloy_is_named",
        "{} explanations, among them",
        lambda: word(
            len(load_steel_tables().numbers["steels"]) + 1
        ).capitalize(),  # and a mixed piece
    ),
    Claim("how_to/pack_with_carbon", "A 6 mm section takes days to carburise through", days),
    Claim(
        "how_to/pack_with_carbon",
        "{} hours at 900 °C do for a 1 mm edge, once the steel is at heat. At 870 °C give it {}. "
        "Two hours at 900 °C are not enough",
        hours_that_do,
    ),
    Claim(
        "how_to/pack_with_carbon",
        "Published figures differ by {:.1f} times and more",
        spread_of_published,
    ),
    Claim("how_to/pack_with_carbon", "Above {} % carbon", lambda: CARBIDES_FROM_PCT),
    Claim(
        "how_to/pack_with_carbon",
        "For mild steel a pack below about {} °C is refused. So is one above {:.0f} °C",
        lambda: (to(10, round(float(a3_c(USUAL_PACK.core_pct)))), EUTECTIC_C),
    ),
    Claim(
        "how_to/pack_with_carbon",
        "The hours are for {:.2f} % plain steel and {:.0f} HRC after two hours at 180 °C",
        lambda: (USUAL_PACK.core_pct, WANTED_HRC),
    ),
    Claim(
        "how_to/sort_scrap", "After twenty from one heap the chances fit that heap", after_twenty
    ),
    Claim("how_to/sort_scrap", "under {} a whole edge tells nothing", lambda: LEAST_STROKES),
    Claim(
        "how_to/quench_a_coupon",
        "One Rockwell reading is worth more than eight files, for a set errs together",
        reading_over_files,
    ),
    Claim(
        "tables/case_and_grind",
        "Steel of {:.2f} % carbon, charcoal not described, thermometer ± {:.0f} °C, hard meaning "
        "{:.0f} HRC",
        lambda: (USUAL_PACK.core_pct, USUAL_PACK.thermometer_u_c, WANTED_HRC),
    ),
    Claim("tables/temper_loss", "they part by up to {:.0f} HRC", charts_part),
    Claim("tables/pack_carbon", "each ± {}", lambda: U_PCT),
    Claim(
        "tables/hours_through",
        "until the middle holds {} % carbon",
        lambda: numbers(row("temper_loss", "180 °C")[2])[1],
    ),
    Claim("tables/steel_numbers", "times {0} and divided by {0}", lambda: FACTORS[0]),
)
