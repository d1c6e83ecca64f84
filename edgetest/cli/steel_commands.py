"""Commands on an unknown steel: verdict, case."""

from pathlib import Path

import click

from edgetest.cli.root import Bar, as_json, command, path_argument, say
from edgetest.errors import UnusableInput


@command("verdict", "edgetest verdict my_study --to documents --json")
@path_argument("study")
@click.option("--piece", help="The piece asked about; else the lot where it can be spoken for.")
@click.option("--to", "folder", type=click.Path(path_type=Path), help="Folder for the document.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]))
@click.option("--units", type=click.Choice(["metric", "inch", "both"]))
@click.option("--workers", type=int, default=2, show_default=True, help="Processes.")
@as_json
def verdict(study, piece, folder, paper, units, workers, json_):
    """Is the salvaged steel worth reusing: the verdict with reasons, odds and the next test.

    Reads [evidence] and [verdict] of the study's study.toml and its edge-retention and chop
    logs against the reference blade. With --to it writes the document too.

    \b
    JSON: verdict (reuse, reuse_light, do_not_reuse, cannot_tell), title, summary, scope
    (lot or piece), piece, route (as it is, carburised), probability_fit,
    probability_light_or_better, fit_bounds, expected_loss_h, criteria [{name, wanted,
    value, probability_full, probability_light, evidence, worth_knowing_h, …}], decides,
    tests [{code, title, hours, saves_h, saves_per_hour, about}], next_test, next, reasons,
    cautions, advice {action, step, text, steps}, routes [each with its verdict, hardness,
    quench, lives, damage], core, cases, hours, warnings [{code, text}], rule, files.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.steel.judge_steel import judge_steel

    found = judge_steel(
        study, piece=piece, workers=workers, progress=None if json_ else Bar("measuring")
    )
    document, lines = found.to_dict(), [found.words()]
    document["files"] = []
    if folder is not None:
        from edgetest.report.documents.steel_sheet import build_steel_document

        files = build_steel_document(found, folder, paper=paper, units=units)
        document["files"] = [str(path) for path in files]
        lines += ["", *document["files"]]
    say(document, "\n".join(lines), json_)


@command("case", "edgetest case --thickness-mm 1 --temperature-c 900 --hours 4 --removed-mm 0.05")
@path_argument("study", required=False)
@click.option("--thickness-mm", help="Section in the pack: 6, 6.35 mm or 1/4 in.")
@click.option("--temperature-c", type=float, help="Heat of the pack, °C.")
@click.option("--hours", type=float, help="Hours with the steel itself at heat.")
@click.option("--removed-mm", "removed", multiple=True,
              help="Ground off each face afterwards; twice where they differ.")  # fmt: skip
@click.option("--core-pct", type=click.FloatRange(0, 1.5), default=0.20, show_default=True,
              help="Carbon of the steel before, %.")  # fmt: skip
@click.option("--core-u-pct", type=float, default=0.02, show_default=True,
              help="Its standard uncertainty, %.")  # fmt: skip
@click.option("--surface-pct", type=float, help="Carbon held by the pack, %; else 1.0.")
@click.option("--surface-u-pct", type=float, default=0.1, show_default=True,
              help="Its standard uncertainty, %.")  # fmt: skip
@click.option("--temperature-u-c", type=float, default=10.0, show_default=True,
              help="Standard uncertainty of the thermometer, °C.")  # fmt: skip
@click.option("--faces", type=click.IntRange(1, 2), default=2, show_default=True,
              help="Faces that see the pack.")  # fmt: skip
@click.option("--then", multiple=True, type=(float, float, str), metavar="C H SURFACE",
              help="A later heat: °C, hours, sealed or decarburising; repeatable.")  # fmt: skip
@click.option("--target-hrc", type=float, default=58.0, show_default=True,
              help="As-quenched hardness that counts as hard.")  # fmt: skip
@click.option("--coupon", type=(float, float, float), metavar="MM DEPTH U",
              help="A coupon of your pack: thickness, case depth, its uncertainty.")  # fmt: skip
@click.option("--diffusivity", "laws", multiple=True,
              help="Published set to use; else all, their spread in the interval.")  # fmt: skip
@as_json
def case(study, thickness_mm, temperature_c, hours, removed, core_pct, core_u_pct, surface_pct,
         surface_u_pct, temperature_u_c, faces, then, target_hrc, coupon, laws, json_):  # fmt: skip
    """Carbon and hardness across a carburised section, and what the grinder leaves of it.

    Give a plan by its numbers, or a STUDY whose study.toml holds [evidence.pack].

    \b
    JSON of a plan: section, heats, thickness_mm, removed_mm, finished_mm, target,
    case_depth_mm, safe_grind_mm, soft_skin_mm, edge_carbon_pct, face_carbon_pct,
    edge_hardness_hrc (each {value, low, high, …}), probability_edge_hard,
    probability_faces_hard, probability_through, by_diffusivity, calibration, profile
    {depth_mm, carbon_pct_low, …}, hours_through, core, cautions, warnings.
    JSON of a study: {study, sections: [the same, one a section]}.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.steel.case_plan import cases_of_study, plan_case

    if study is not None:
        if thickness_mm is not None:
            raise UnusableInput(
                "both a study and a plan are given", "edgetest case", "give one of them"
            )
        found = cases_of_study(study)
        document = {"study": str(study), "sections": [each.to_dict() for each in found]}
        say(document, "\n".join(each.words() for each in found), json_)
        return
    needed = {
        "--thickness-mm": thickness_mm, "--temperature-c": temperature_c, "--hours": hours,
    }  # fmt: skip
    missing = [name for name, value in needed.items() if value is None]
    if missing:
        raise UnusableInput(
            f"{', '.join(missing)} is missing", "edgetest case", "give it, or a study with a pack"
        )
    ends = [_length(text, "--removed-mm") for text in removed] or [0.0]
    if len(ends) > 2:
        raise UnusableInput("a plate has two faces", "--removed-mm", "give it once or twice")
    options = {"diffusivities": laws} if laws else {}
    found = plan_case(
        _length(thickness_mm, "--thickness-mm"), temperature_c, hours,
        removed_mm=(ends[0], ends[-1]), core_pct=core_pct, core_u_pct=core_u_pct,
        surface_pct=surface_pct, surface_u_pct=surface_u_pct, thermometer_u_c=temperature_u_c,
        faces=faces, then=then, target_hrc=target_hrc, coupon=coupon, **options,
    )  # fmt: skip
    say(found.to_dict(), found.words(), json_)


def _length(text, where):
    """A length as typed, mm."""
    from edgetest.units import Unreadable, parse_quantity

    try:
        return parse_quantity(text, "mm")
    except Unreadable as fault:
        raise UnusableInput(fault.what, where, fault.mend) from None
