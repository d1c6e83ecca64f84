"""Commands on chop tests: chop."""

from dataclasses import dataclass

import click

from edgetest.cli import root


@dataclass(frozen=True)
class ChopQuestion:
    """What is asked of a chop test."""

    against: str | None = root.option("Blade that the others are held against.", metavar="BLADE")
    damage_from: str = root.option(
        "Which chips count where both were taken.",
        click.Choice(["photographs", "log"]),
        default="photographs",
    )
    chip_limit_um: float | None = root.option("Depth above which a chip counts as damage.", float)
    reference_wood: str | None = root.option(
        "Wood at 12 % moisture to state chops in; else coast Douglas-fir.", metavar="SPECIES"
    )
    thinner: tuple = root.option(
        "Try a taper: from where (from the butt), how thick at the tip.",
        nargs=3,
        multiple=True,
        metavar="BLADE FROM TIP",
    )
    level: float = root.option("Coverage of the intervals.", root.COVERAGE, default=0.95)


@root.command(
    "chop", "edgetest chop my_hatchet --json\n  edgetest chop my_hatchet --sheet documents"
)
@root.path_argument("study")
@root.takes(question=ChopQuestion)
@click.option("--to", "wishes", multiple=True, metavar='"WOOD WxT [flat|on edge]"',
              help="Reckon strokes for another piece, mm.")  # fmt: skip
@click.option("--sheet", "folder", type=root.PATH,
              help="Write the customer's sheet, PDF and HTML, into this folder.")  # fmt: skip
@click.option("--blade", metavar="BLADE", help="Whose sheet; else all but the control's.")
@root.takes(page=root.Page)
@root.as_json
def chop_command(study, question, wishes, folder, blade, page, json_):
    """Figures of a chop test, and one page for the customer. STUDY is a folder or a chops.csv.

    \b
    JSON: {title, invented, protocol, blades, control, design, as_chopped, reckoned,
    events, counts, near_misses, depths, damage, tools, trials, not_tested, level,
    pieces, single_chops, looks, growth, limit, what_if, cautions, warnings, doubts, files}.
    An estimate is {value, low, high, unit, level, method, warnings}; what was not
    done is null or empty.
      as_chopped[]      {blade, wood, width_mm, thickness_mm or diameter_mm, orientation,
                        pieces, standing, strokes_per_piece, strokes[]}
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
    from edgetest.study.chop.other_pieces import with_reckoned
    from edgetest.study.sources import open_chops

    tapers = {
        blade: (root.size(start, "--thinner"), root.size(tip, "--thinner"))
        for blade, start, tip in question.thinner
    }
    result = analyse_chops(open_chops(study), **{**vars(question), "thinner": tapers})
    result = with_reckoned(result, wishes)
    files = []
    if folder is not None:
        from edgetest.report.documents.chopper_sheet import build_sheets

        files = build_sheets(result, folder, blade=blade, **vars(page))
    document = {**result.to_dict(), "files": [str(path) for path in files]}
    mind = [f"Mind: {caution}" for caution in result.cautions]
    root.say(document, "\n".join([result.summary(), *mind, *document["files"]]), json_)
