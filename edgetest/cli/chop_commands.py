"""Commands on chop tests: chop."""

from dataclasses import dataclass

import click

from edgetest.cli import root


@dataclass(frozen=True)
class ChopQuestion:
    """What is asked of a chop test."""

    against: str | None = root.option(
        "Blade to compare the others with; on their sheets it stands beside them.", metavar="BLADE"
    )
    damage_from: str = root.option(
        "Which chips count where both were taken. Where the eye alone looked at one of the tools,"
        " or alone saw a chip, that kind counts by eye with all.",
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
    reckon: tuple = root.option(
        "Reckon for another piece, full size, mm or 3.5x1.5 in, a round one by its diameter alone"
        ' ("hazel 45"); its water is else that of yours.',
        multiple=True, metavar='"[green|air-dry|N %] WOOD WxT [flat|on edge]"',
    )  # fmt: skip


def tapers_of(question):
    """The tapers to try, by blade: from where and how thick at the tip, mm."""
    return {
        blade: (root.size(start, "--thinner"), root.size(tip, "--thinner"))
        for blade, start, tip in question.thinner
    }


@root.command(
    "chop", "edgetest chop my_hatchet\n"
    "  edgetest chop my_hatchet --reckon 'English oak 90x60 flat' --json"
)  # fmt: skip
@root.path_argument("study")
@root.takes(question=ChopQuestion)
@click.option("--level", type=root.COVERAGE, default=0.95, show_default=True,
              help="Coverage of the intervals.")  # fmt: skip
@root.as_json
def chop_command(study, question, level, json_):
    """Figures of a chop test. STUDY is a folder or a chops.csv.

    The customer's sheet is written by `edgetest report`. Text is in the units that
    [document] of study.toml asks for, JSON always in mm and g.

    \b
    JSON: {title, invented, protocol, blades, control, design, as_chopped, reckoned,
    events, counts, near_misses, depths, damage, tools, trials, not_tested, level,
    pieces, single_chops, looks, growth, limit, what_if, cautions, warnings, doubts}.
    An estimate is {value, low, high, unit, level, method, warnings}; what was not
    done is null or empty.
      as_chopped[]      {blade, wood, width_mm, thickness_mm or diameter_mm, orientation,
                        pieces, standing, strokes_per_piece, strokes[]};
      counts.blades[]   {blade, billets, chops, area_cm2, chops_per_100_cm2,
                        fresh_chops_per_100_cm2}; counts.ratios[] {first, second, ratio, ...};
      depths.blades[]   {name, fresh_mm, midway_mm, loss_pct_per_100_chops};
      damage[]          {when: before | after | during, kind: chips | rolls, blades[], ...};
                        "during" is what was not there before;
      tools[]           {blade, measured, predicted, compared, blow, depth_per_joule,
                        joules_per_cm2};
      looks[]           {blade, chops, when, from_log, from_photographs, used}.
    `edgetest schema chop` prints the whole of it.
    """  # noqa: D301 - click wants the real \b
    from edgetest.report.units_told import text_in_units
    from edgetest.store.document_wishes import settings_of
    from edgetest.study.answers import CHOPPER, answer_of
    from edgetest.study.sources import open_chops

    asked = {**vars(question), "thinner": tapers_of(question), "level": level}
    result = answer_of(open_chops(study), about=CHOPPER, **asked)
    mind = [f"Mind: {caution}" for caution in result.cautions]
    units = settings_of(result.study).units if result.study else "metric"
    text = text_in_units("\n".join([result.summary(), *mind]), units)
    root.say(result.to_dict(), text, json_)
