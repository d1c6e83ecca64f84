"""Commands on chop tests: chop."""

from pathlib import Path

import click

from edgetest.cli.root import COVERAGE, as_json, command, path_argument, say


@command("chop", "edgetest chop my_hatchet --json\n  edgetest chop my_hatchet --sheet documents")
@path_argument("study")
@click.option("--against", metavar="BLADE", help="Blade that the others are held against.")
@click.option("--damage-from", type=click.Choice(["photographs", "log"]), default="photographs",
              show_default=True, help="Which chips count where both were taken.")  # fmt: skip
@click.option("--chip-limit-um", type=float, help="Depth above which a chip counts as damage.")
@click.option("--reference-wood", metavar="SPECIES",
              help="Wood at 12 % moisture to state chops in; else coast Douglas-fir.")  # fmt: skip
@click.option("--thinner", nargs=3, multiple=True, metavar="BLADE FROM TIP",
              help="Try a taper: from where (from the butt), how thick at the tip.")  # fmt: skip
@click.option("--level", type=COVERAGE, default=0.95, show_default=True,
              help="Coverage of the intervals.")  # fmt: skip
@click.option("--sheet", "folder", type=click.Path(path_type=Path),
              help="Write the customer's sheet, PDF and HTML, into this folder.")  # fmt: skip
@click.option("--blade", metavar="BLADE", help="Whose sheet; else all but the control's.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]))
@click.option("--units", type=click.Choice(["metric", "inch", "both"]))
@as_json
def chop(study, against, damage_from, chip_limit_um, reference_wood, thinner, level, folder, blade,
         paper, units, json_):  # fmt: skip
    """Figures of a chop test, and one page for the customer. STUDY is a folder or a chops.csv.

    \b
    JSON: {title, invented, protocol, blades, control, design, counts, near_misses,
    depths, damage, tools, trials, not_tested, level, pieces, single_chops, looks,
    growth, limit, what_if, warnings, files}.
    An estimate is {value, low, high, unit, level, method, warnings}; what was not
    done is null or empty.
      counts.blades[]   {blade, billets, chops, area_cm2, chops_per_100_cm2,
                        fresh_chops_per_100_cm2}; counts.ratios[] {first, second, ratio, ...}
      depths.blades[]   {name, fresh_mm, midway_mm, loss_pct_per_100_chops}
      damage[]          {when: before | after | during, kind: chips | rolls, blades[], ...};
                        "during" is what was not there before
      tools[]           {blade, measured, predicted, compared, blow, depth_per_joule,
                        joules_per_cm2}
      looks[]           {blade, chops, when, from_log, from_photographs, used}
    The whole of it is in the guide, chapter Choppers.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.chop.chop_analysis import analyse_chops
    from edgetest.study.sources import open_chops

    result = analyse_chops(
        open_chops(study),
        against=against,
        damage_from=damage_from,
        chip_limit_um=chip_limit_um,
        reference_wood=reference_wood,
        thinner=tapers(thinner),
        level=level,
    )
    files = []
    if folder is not None:
        from edgetest.report.documents.chopper_sheet import build_sheets

        files = build_sheets(result, folder, blade=blade, paper=paper, units=units)
    document = {**result.to_dict(), "files": [str(path) for path in files]}
    say(document, "\n".join([result.summary(), *document["files"]]), json_)


def tapers(triples):
    """Tapers to try by blade, each place and thickness a length."""
    from edgetest.errors import UnusableInput
    from edgetest.units import Unreadable, parse_quantity

    found = {}
    for blade, *sizes in triples:
        try:
            found[blade] = tuple(parse_quantity(size, "mm") for size in sizes)
        except Unreadable as fault:
            raise UnusableInput(fault.what, "--thinner", fault.mend) from None
    return found
