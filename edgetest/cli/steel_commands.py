"""Commands on an unknown steel: verdict, case."""

import re
from dataclasses import dataclass, fields

import click

from edgetest.cli import root
from edgetest.errors import ManyFaults, UnusableInput
from edgetest.steel.usual_pack import USUAL_PACK, WANTED_HRC


@root.command("verdict", "edgetest verdict my_study --piece 'disc A' --json")
@root.path_argument("study")
@click.option("--piece", help="Which piece to ask about; else the one tested most.")
@root.workers_option
@root.as_json
def verdict_command(study, piece, workers, json_):
    """What to do with a salvaged steel: the step, what does not fit, chances, the next test.

    Reads [evidence] and [verdict] of the study's study.toml and, where there are blades, its
    edge-retention log against the reference blade. With nothing entered it names the first
    step. The page to keep is written by `edgetest report`. For a chopper or a hedging tool no
    pack is proposed before a packed blade stood: a thin hard case over a soft core cracks under
    blows (common practice, no source).

    \b
    JSON: study, piece, use, wanted_hrc, action (first_step, safety_stop, go_on,
    heat_treat_again, reuse_trial, reuse, light_use, carburise, leave, laboratory,
    buy_known), way, title, summary, family, families [{code, title, chance}],
    explanations [{code, title, chance}], before {origin, source, explanations}, heats
    [{piece, coupon, heat, chances {right, too_cold, too_hot, too_short}}], contradictions
    [{code, text, cure, where}], remarks [the same, of what differs as it should], next {code,
    title, why, hours, cautions}, chance_fit, chance_withheld (why none is told), reasons,
    survives {turned, reversed, of, by}, cautions, pieces [{piece, action, way, title,
    family, chance_fit}], lives, core, cases, hours, warnings [{code, text}], doubts
    [{code, text, gravity, where}],
    could_be_added [{study, pieces, row {origin, turned_out, count, lot}}] of earlier
    studies beside this one.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.steel.entry_hint import entry_hint
    from edgetest.study.steel.judge_steel import judge_steel, with_numbers_tried
    from edgetest.study.steel.settled_pieces import offered_words, settled_pieces

    measuring, trying = (
        None if json_ else root.Bar(label)
        for label in ("measuring", "trying the numbers behind it")
    )
    found = judge_steel(study, piece=piece, workers=workers, progress=measuring, try_numbers=False)
    found = with_numbers_tried(found, progress=trying)
    document, lines, offered = found.to_dict(), [found.words()], settled_pieces(study)
    lines += [hint] if (hint := entry_hint(found, study)) else []
    document["could_be_added"] = [one.to_dict() for one in offered]
    lines += ["", offered_words(offered)] if offered else []
    root.say(document, "\n".join(lines), json_)


@dataclass(frozen=True)
class PackPlan:
    """A carburising plan by its numbers, each with how well it is known."""

    thickness_mm: str | None = root.option("Section in the pack: 6, 6.35 mm or 1/4 in.")
    temperature_c: str | None = root.option("Heat of the pack, °C: 900, 900 °C or 1650 °F.")
    hours: str | None = root.option("Hours with the steel itself at heat: 4, 4 h or 240 min.")
    removed_mm: tuple = root.option(
        "Ground off each face afterwards; twice where they differ.", multiple=True
    )
    core_pct: float = root.option(
        "Carbon of the steel before, %.", click.FloatRange(0, 1.5), default=USUAL_PACK.core_pct
    )
    core_u_pct: float = root.option(
        "Its standard uncertainty, %.", float, default=USUAL_PACK.core_u_pct
    )
    surface_pct: float | None = root.option(
        "Carbon held by the pack, %; else what charcoal holds at that heat.", float
    )
    surface_u_pct: float | None = root.option(
        "Its standard uncertainty, %; else 0.10 where stated, 0.15 where not.", float
    )
    energised: str | None = root.option(
        "Whether a carbonate is mixed into the charcoal; else half way between.",
        click.Choice(["yes", "no"]),
    )
    skin_mm: str | None = root.option("Decarburised skin before the pack: 0.1, 0.1 mm.")
    thermometer_u_c: str = root.option(
        "Standard uncertainty of the thermometer, °C: 10 or 18 °F.",
        name="--temperature-u-c",
        default=f"{USUAL_PACK.thermometer_u_c:g}",
    )
    faces: int = root.option(
        "Faces that see the pack.", click.IntRange(1, 2), default=USUAL_PACK.faces
    )
    then: tuple = root.option(
        "A later heat: °C, hours, sealed or decarburising; repeatable.",
        (str, str, str),
        multiple=True,
        metavar="C H SURFACE",
    )
    target_hrc: float = root.option(
        "Hardness wanted after the temper, HRC.", float, default=WANTED_HRC
    )
    temper: tuple | None = root.option(
        "The temper: °C, minutes, how often; else 180 °C, 60 min, twice.",
        (str, str, int),
        metavar="C MIN TIMES",
    )
    no_temper: bool = root.option(
        "Hardness wanted straight from the quench.", is_flag=True, default=False
    )
    coupon: tuple | None = root.option(
        "A coupon of your pack: thickness, case depth, its uncertainty. The depth is to 0.40 % "
        "carbon: where file 55 begins to bite as quenched.",
        (str, str, str),
        metavar="MM DEPTH U",
    )
    diffusivities: tuple = root.option(
        "Published set to use; else all, their spread in the interval.",
        name="--diffusivity",
        multiple=True,
    )


@root.command(
    "case", "edgetest case --thickness-mm 1 --temperature-c 900 --hours 4 --removed-mm 0.05"
)
@root.path_argument("study", required=False)
@root.takes(plan=PackPlan)
@root.as_json
def case_command(study, plan, json_):
    """Carbon and hardness across a carburised section, and what the grinder leaves of it.

    Give a plan by its numbers, or a STUDY whose study.toml holds [evidence.pack].

    \b
    JSON of a plan: section, heats, thickness_mm, removed_mm, skin_mm, finished_mm, target
    {hardness_hrc, as_quenched_hrc, carbon_pct, temper}, case_depth_mm, safe_grind_mm,
    soft_skin_mm, edge_carbon_pct, face_carbon_pct, edge_hardness_hrc (as quenched),
    edge_tempered_hrc, retained_austenite_pct (each {value, low, high, …}),
    probability_edge_hard, probability_faces_hard, probability_through, by_diffusivity,
    calibration, profile {depth_mm, carbon_pct_low, …}, hours_through, core, summary, lines,
    cautions, warnings [{code, text}], doubts [{code, text, gravity, where}].
    JSON of a study: {study, sections: [the same, one a section]}.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.steel.case_plan import cases_of_study, plan_case

    if study is not None:
        if plan.thickness_mm is not None:
            raise UnusableInput(
                "both a study and a plan are given", "edgetest case", "give one of them"
            )
        found = cases_of_study(study)
        document = {"study": str(study), "sections": [each.to_dict() for each in found]}
        root.say(document, "\n".join(each.words() for each in found), json_)
        return
    laws = plan.diffusivities
    try:
        (answer,) = plan_case(_pack(plan), target_hrc=plan.target_hrc, diffusivities=laws)
    except UnusableInput as fault:
        faults = getattr(fault, "faults", (fault,))
        raise ManyFaults(
            UnusableInput(each.what, _option_of(each.where), each.mend) for each in faults
        ) from None
    root.say(answer.to_dict(), answer.words(), json_)


def _option_of(where):
    """The option behind a place in the plan: `--hours` for "pack, heats 1 (pack), hours"."""
    place, _, key = where.rpartition(", ")
    if re.search(r"coupon|temper|heats? (?!1 |pack)", place):
        found = re.search("coupon|temper", place)
        return f"--{found[0] if found else 'then'}, {key}"
    names = {each.name: root.option_name(each) for each in fields(PackPlan)}
    return names.get(key, "--diffusivity" if key == "diffusivity" else where)


def _pack(plan):
    """The plan as `[evidence.pack]` of a study would hold it."""
    from edgetest.study.steel.case_plan import pack_of_one

    needed = ("thickness_mm", "temperature_c", "hours")
    missing = [f"--{name.replace('_', '-')}" for name in needed if getattr(plan, name) is None]
    if missing:
        raise UnusableInput(
            f"{', '.join(missing)} is missing", "edgetest case", "give it, or a study with a pack"
        )
    ends = [root.size(text, "--removed-mm") for text in plan.removed_mm] or [0.0]
    if len(ends) > 2:
        raise UnusableInput("a plate has two faces", "--removed-mm", "give it once or twice")
    known = {name: getattr(plan, name) for name in ("core_pct", "core_u_pct", "surface_u_pct")}
    if plan.energised is not None:
        known["energised"] = plan.energised == "yes"
    if plan.skin_mm is not None:
        known["skin_mm"] = root.size(plan.skin_mm, "--skin-mm")
    if plan.temper and plan.no_temper:
        raise UnusableInput("--temper and --no-temper", "edgetest case", "give one of them")
    return pack_of_one(
        {
            "thickness_mm": root.size(plan.thickness_mm, "--thickness-mm"),
            "removed_mm": (ends[0], ends[-1]),
        },
        {
            "temperature_c": root.size(plan.temperature_c, "--temperature-c", "c"),
            "hours": root.size(plan.hours, "--hours", "h"),
            "surface_pct": plan.surface_pct,
            "faces": plan.faces,
        },
        then=plan.then,
        coupon=plan.coupon,
        temper="none" if plan.no_temper else plan.temper,
        thermometer_u_c=root.size(plan.thermometer_u_c, "--temperature-u-c", "c_apart"),
        **known,
    )
