"""Commands that write a study's rows down and take them back: enter, undo, history."""

import shlex

import click

from edgetest.cli import root


@root.command(
    "enter",
    "edgetest enter my_study blade=H1 block='roll 1' cuts=50 station_mm=20 edge_width_um=7.1\n"
    "  edgetest enter my_hatchet blade=H1 kind=billet order=1 chops=23 width_mm=50 "
    "thickness_mm=50\n"
    "  edgetest enter my_hatchet blade=H1 kind=billet order=2 chops=7 diameter_mm=42 "
    "exclude='split lengthwise before it was severed'\n"
    "  edgetest enter my_study --blade H2 heat_treatment=temper_240 --replace\n"
    "  edgetest enter my_discs --evidence heats piece='disc A' coupon=A1 medium=oil heat_c=820\n"
    "  edgetest enter my_discs --evidence known known_low='mild bar' known_high='an old file'\n"
    "  edgetest enter my_discs --evidence heats piece='disc A' coupon=A1 heat=2 --remove",
)
@root.path_argument("study")
@click.argument("cells", nargs=-1, required=True, metavar="COLUMN=VALUE...")
@click.option(
    "--evidence",
    type=click.Choice(["pieces", "heats", "tempers", "trials", "known"]),
    help="The row belongs to the evidence of a steel, not to a log; known: the two "
    "steels sparked beside it (known_low, known_high) and your files "
    "(files_hrc='40 45 50 55 60 65'). "
    "makes_blades of a piece: how many blades it gives in all, those already made or lost too (the "
    "verdict takes off what broke or cracked); those of a lot are summed; more of them pay for "
    "more tests, and left out the verdict never weighs known steel; 0 sets a piece aside that you "
    "gave up. Under [verdict] in study.toml: "
    "blades_wanted, how many you want in all; known_steel_hours, the price of the bar for one "
    "blade in hours of your work, no forging; blade_hours, all work in one blade.",
)
@click.option("--blade", metavar="ID",
              help="These are facts of this blade, such as a heat treatment or batch that was "
              "mixed up: heat_treatment=temper_240 batch='load 2' --replace.")  # fmt: skip
@click.option("--replace", is_flag=True,
              help="Put a value in the place of what the row of a log, a blade, a piece, a heat, a "
              "coupon's temper or trial, or known says already; a key with nothing behind its = "
              "takes it out. Of several heats, tempers or trials row=2 names the second in "
              "study.toml.")  # fmt: skip
@click.option("--remove", is_flag=True,
              help="Take out the one row of --evidence that says all of this.")  # fmt: skip
@root.as_json
def enter_command(study, cells, evidence, blade, replace, remove, json_):
    """Put one row into a study: a reading, a chopped piece, or what was seen of a steel.

    With --blade it corrects what a blade is: its heat treatment, batch, steel.

    A row of the log that waits for exactly this stage, a piece that was noted already, or a
    heat= of a coupon, is filled in; else a row is added. What stands there already is not
    overwritten: correct it with --replace, take a row of evidence out with --remove, or
    `edgetest undo`. Many rows at once go into log.csv under its columns, and `edgetest check`
    reads them. JSON: {change: {what, table, row, before, after, when, in_the_program}, summary};
    change is null where all of it stood there.

    \b
    Keys by table; a word that is not known is answered with those that are.
      pieces: id, origin, form, source, lot, makes_blades, thickness_mm,
        coating, lead, closed_hollow, loaded_spring, magnet, sparks, stream,
        forging, fracture, carbon_pct, carbon_u_pct;
      heats: piece, coupon, blade (one of [[blades]]; a trial blade that is
        not among them is a coupon, as coupon=blade1), heat, medium, medium_c,
        heat_c, colour, magnet, soak_min, cycles, section_mm, grain, fracture,
        cracked, count, carburised;
      tempers: piece, coupon, blade, heat, temperature_c, temperature_f,
        time_min, repeats, for_use;
      trials: piece, coupon, blade, heat, test, result, edge, life_ratio,
        beside, day, temper_c, strokes, hit, poor_edge, use, carburised (result:
        how long the edge lived beside the known blade's, same from 0.8
        times; temper_c the temper it had, as 205 or "400 °F"; of a blade
        that broke at a dark part, write fracture="old crack" in its heat);
      known: known_low, known_high, files_hrc, tester_u_hrc (standard
        uncertainty of one number of your tester, else 1 HRC), oven_checked
        (no: no thermometer stood beside what was tempered);
      all but trials and known: hardness_below, hardness_skin, hardness,
        scale, exclude (why its readings are not counted); all: note.
    """  # noqa: D301 - click wants the real \b
    from edgetest.study.enter_rows import (
        asked_of,
        cells_of,
        change_document,
        change_told,
        enter,
    )

    change = enter(
        study, cells_of(cells), evidence=evidence, blade=blade, replace=replace, remove=remove
    )
    words = "\n".join([change_told(study, change), *asked_of(study, change)])
    undo = f"\nTake it back with:  edgetest undo {shlex.quote(str(study))}" if change else ""
    document = {"change": change and change_document(change), "summary": words}
    root.say(document, f"{words}{undo}", json_)


@root.command("undo", "edgetest undo my_study --dry-run")
@root.path_argument("study")
@click.option("--dry-run", is_flag=True, help="Only say what would be taken back.")
@root.as_json
def undo_command(study, dry_run, json_):
    """Take back the last change of a study that was made in the program, on the bench or here.

    JSON: {change, undone: whether it was taken back, summary}.
    """
    from edgetest.study.enter_rows import change_document, change_told, last_of_all, undo_row

    change = last_of_all(study) if dry_run else undo_row(study)
    if change is None:
        words = "nothing was entered in the program, so nothing would be undone"
    else:
        words = f"{'would be taken back' if dry_run else 'taken back'}: "
        words += change_told(study, change)
    document = {
        "change": change and change_document(change),
        "undone": not dry_run,
        "summary": words,
    }
    root.say(document, words, json_)


@root.command("history", "edgetest history my_study --last 20")
@root.path_argument("study")
@click.option("--last", type=click.IntRange(1), help="Only the last so many.")
@root.as_json
def history_command(study, last, json_):
    """Every change of a study's log and facts, with the old value: bench, prompt, page and log.

    What was changed in the log's file itself is noticed when the study is opened next; facts that
    were changed in study.toml by hand stand in no history. JSON:
    {changes: [{what, table, row, before, after, when, in_the_program, summary}]}.
    """
    from edgetest.store.history import notice_edits
    from edgetest.study.enter_rows import change_document, history_lines, history_of

    notice_edits(study)
    told = history_of(study)[-last if last else None :]
    document = {
        "changes": [
            {**(change_document(change) or {}), "summary": words} for _, change, words in told
        ]
    }
    root.say(document, "\n".join(history_lines(told)) or "Nothing was changed yet.", json_)
