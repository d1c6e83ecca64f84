"""The command line: parse, one call into `study`, print."""

import json
import sys
from pathlib import Path

import click

from edgetest.errors import UnusableInput

CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


@click.group(context_settings=CONTEXT)
@click.version_option(package_name="edgetest", prog_name="edgetest")
@click.option("--debug", is_flag=True, help="Show the program's own traceback of a fault.")
def edgetest(debug):
    r"""Tell, with honest numbers, whether a blade holds its edge.

    \b
    Start with:  edgetest demo
    Your own:    edgetest new my_study --protocol sisal_rope
    """


def command(name, example):
    """Make a command whose help ends with an example."""

    def wrap(function):
        function.__doc__ = f"{function.__doc__}\n\n\b\nExample:\n  {example}\n"
        return edgetest.command(name, context_settings=CONTEXT)(function)

    return wrap


as_json = click.option("--json", "json_", is_flag=True, help="Print one JSON document.")


def say(document, text, json_):
    """The JSON document or the text, whichever was asked for; nothing else on stdout."""
    if json_:
        click.echo(json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False))
    else:
        click.echo(text)


class Bar:
    """A progress bar on standard error that a study's long work can feed."""

    def __init__(self, label):
        self.label, self.bar = label, None

    def __call__(self, done, total):
        """Show that `done` of `total` are done."""
        if self.bar is None:
            self.bar = click.progressbar(length=total, label=self.label, file=sys.stderr)
            self.bar.__enter__()
        self.bar.update(done - self.bar.pos)
        if done >= total:
            self.bar.__exit__(None, None, None)


def main(arguments=None):
    """Run the command line; exit codes: 0 done, 2 unusable input, 1 a fault of the program."""
    arguments = sys.argv[1:] if arguments is None else list(arguments)
    try:
        code = edgetest.main(arguments, standalone_mode=False)
    except UnusableInput as fault:
        click.echo(one_line(fault), err=True)
        code = 2
    except click.exceptions.Abort:
        click.echo("stopped; what was written so far is kept", err=True)
        code = 130
    except click.UsageError as fault:
        where = fault.ctx.command_path if fault.ctx else "edgetest"
        click.echo(f"{where}: {fault.format_message()} See {where} --help.", err=True)
        code = 2
    except Exception as fault:  # the last line of defence: no traceback reaches a user
        if "--debug" in arguments:
            raise
        click.echo(
            f"edgetest: a fault of the program, not of your data: {type(fault).__name__}: {fault}; "
            "run again with `edgetest --debug …` and send what it prints",
            err=True,
        )
        code = 1
    sys.exit(code if isinstance(code, int) else 0)


def one_line(fault):
    """One line for standard error, also where several faults were collected."""
    faults = getattr(fault, "faults", (fault,))
    first = " ".join(str(faults[0]).split())
    if len(faults) == 1:
        return first
    return f"{first} (and {len(faults) - 1} more; `edgetest check` lists them all)"


def path_argument(name, **more):
    """A path that must be there, said in our own words."""
    return click.argument(name, type=click.Path(path_type=Path), **more)


# ---------------------------------------------------------------- photographs


@command("measure", "edgetest measure photos/H1_050_110.jpg --um-per-px 0.4")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale of the photographs, µm per pixel.")
@click.option("--scale-u", "relative_u", type=float, default=0.0, help="Its relative uncertainty.")
@click.option("--ruling", type=click.Path(path_type=Path), help="Take it from this micrometer.")
@click.option("--pitch-um", type=float, default=10.0, help="Distance of the micrometer's lines.")
@click.option("--blur-px", type=float, help="Blur known from elsewhere, for narrow bands.")
@click.option("--overlay", type=click.Path(path_type=Path), help="Folder for overlay pictures.")
@click.option("--workers", type=int, default=2, show_default=True, help="Processes.")
@click.option("--again", is_flag=True, help="Measure also what has not changed.")
@click.option("--dry-run", is_flag=True, help="Only list what would be measured.")
@as_json
def measure(photos, um_per_px, relative_u, ruling, pitch_um, blur_px, overlay, workers, again,
            dry_run, json_):  # fmt: skip
    """Edge width in apex-view photographs, or in all photographs of a study's folder.

    A photograph that cannot be measured is listed with its reason; the others go on.
    """
    from edgetest.study import measuring
    from edgetest.study.scales import scale_of_ruling

    if len(photos) == 1 and (photos[0] / "study.toml").is_file():
        tasks, run = _study_tasks(photos[0], workers, again)
    else:
        if ruling is not None:
            scale = scale_of_ruling(ruling, pitch_um)
            um_per_px, relative_u, blur_px = scale.um_per_px, scale.relative_u, scale.blur_px
        tasks, run = _picture_tasks(photos, um_per_px, relative_u, blur_px, workers)
    if dry_run:
        listing = [{"photo": str(task.path), "um_per_px": task.um_per_px} for task in tasks]
        say(listing, "\n".join(f"would measure {each['photo']}" for each in listing), json_)
        return
    results = run(tasks, None if json_ else Bar("measuring"))
    if overlay is not None:
        from edgetest.report.overlay import write_overlays

        write_overlays(results, tasks, overlay)
    say([result.to_dict() for result in results], measuring.table(results), json_)


def _study_tasks(folder, workers, again):
    from edgetest.study.measuring import measure_tasks
    from edgetest.study.readings import photo_tasks
    from edgetest.study.sources import open_source, sound

    source = sound(open_source(folder))
    tasks, missing = photo_tasks(source)
    if missing:
        raise UnusableInput(
            f"{len(missing)} photograph(s) of the log are not there, the first is {missing[0]}",
            where=str(source.photos_folder),
            mend="copy them into the folder, or take them out of the log",
        )
    return tasks, lambda tasks, bar: measure_tasks(
        tasks, source.path, workers=workers, progress=bar, again=again
    )


def _picture_tasks(photos, um_per_px, relative_u, blur_px, workers):
    from edgetest.study.measuring import Task, measure_many, pictures_in
    from edgetest.study.scales import existing

    if um_per_px is not None and not um_per_px > 0:
        raise UnusableInput(
            f"{um_per_px:g} is no scale", "--um-per-px", "give µm per pixel, above zero"
        )
    paths = []
    for path in photos:
        paths += pictures_in(path) if path.is_dir() else [existing(path)]
    tasks = [Task(path, um_per_px, relative_u, blur_px) for path in paths]
    return tasks, lambda tasks, bar: list(measure_many(tasks, workers=workers, progress=bar))


@command("scale", "edgetest scale photos/micrometer.jpg --pitch-um 10")
@path_argument("photo")
@click.option("--pitch-um", type=float, help="Distance of the micrometer's lines, µm.")
@click.option("--marks", nargs=4, type=float, metavar="ROW COL ROW COL", help="Two marks, pixels.")
@click.option("--distance-um", type=float, help="Distance of the two marks, µm.")
@as_json
def scale(photo, pitch_um, marks, distance_um, json_):
    """Micrometres per pixel, from a stage micrometer or from two marks a known distance apart."""
    from edgetest.photo.scale import scale_from_marks
    from edgetest.study.scales import existing, scale_of_ruling

    if marks and distance_um is not None:
        existing(photo)
        found = scale_from_marks(marks[:2], marks[2:], distance_um)
    elif pitch_um is not None:
        found = scale_of_ruling(photo, pitch_um)
    else:
        raise UnusableInput(
            "the distance of the lines is missing",
            where="edgetest scale",
            mend="give --pitch-um 10, or --marks ROW COL ROW COL with --distance-um",
        )
    say(found.to_dict(), found.summary(), json_)


@command("profile", "edgetest profile side_view.jpg --um-per-px 8")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale, µm per pixel.")
@click.option("--scale-u", "relative_u", type=float, default=0.0, help="Its relative uncertainty.")
@as_json
def profile(photos, um_per_px, relative_u, json_):
    """Chips and rolls along the edge in back-lit side views."""
    from edgetest.study.profiles import measure_side_view
    from edgetest.study.scales import existing

    results = [measure_side_view(existing(path), um_per_px, relative_u) for path in photos]
    text = "\n".join(f"{result.photo}: {result.summary()}" for result in results)
    say([result.to_dict() for result in results], text, json_)


# ---------------------------------------------------------------- wear


def log_options(function):
    """The options that `fit`, `compare` and `report` share."""
    for option in reversed(
        [
            path_argument("log"),
            click.option("--reading", help="Column of the log, such as edge_width_um."),
            click.option("--limit", type=float, help="Reading at which a blade's life ends."),
            click.option("--power", type=float, help="Power p of the wear law; else estimated."),
            click.option("--level", type=float, default=0.95, show_default=True,
                         help="Coverage of the intervals."),  # fmt: skip
            click.option("--workers", type=int, default=2, show_default=True, help="Processes."),
        ]
    ):
        function = option(function)
    return function


def comparison_options(function):
    """The options that only a comparison has."""
    for option in reversed(
        [
            click.option("--control", help="Control blade, run in every block."),
            click.option("--reference", help="Heat treatment that the others are held against."),
            click.option("--margin", type=float, default=0.10, show_default=True,
                         help="Difference in life worth knowing, as a share."),  # fmt: skip
        ]
    ):
        function = option(function)
    return function


def _analyse(log, json_, **options):
    from edgetest.study.analysis import analyse
    from edgetest.study.sources import open_source

    return analyse(open_source(log), progress=None if json_ else Bar("measuring"), **options)


@command("fit", "edgetest fit my_log.csv --reading edge_width_um --limit 12")
@log_options
@click.option("--robust", is_flag=True, help="Give outlying readings less weight; name them.")
@as_json
def fit(log, reading, limit, power, level, workers, robust, json_):
    """Wear curve of every blade and its life to the limit. LOG is a study folder or a CSV."""
    result = _analyse(
        log, json_, reading=reading, limit=limit, power=power, level=level,
        workers=workers, robust=robust, compare=False,
    )  # fmt: skip
    say([curve.to_dict() for curve in result.fit.blades], result.fit.summary(), json_)


@command("compare", "edgetest compare my_study --limit 12 --control C1")
@log_options
@comparison_options
@as_json
def compare(log, reading, limit, power, level, workers, control, reference, margin, json_):
    """Which heat treatment's blades last longer, by what factor, how sure. LOG as in fit."""
    result = _analyse(
        log, json_, reading=reading, limit=limit, power=power, level=level, workers=workers,
        control=control, reference=reference, margin=margin,
    )  # fmt: skip
    if result.comparison is None:
        code = result.warnings[-1]
        raise UnusableInput(
            code["text"].removeprefix("Nothing to compare: ").rstrip("."),
            where=str(log),
            mend="compare needs a limit, a life for each blade and a heat_treatment for two groups",
        )
    document = result.comparison.to_dict()
    document["warnings"] = document["warnings"] + list(result.warnings)
    say(document, result.summary(), json_)
