"""The command measure: photographs, a folder of them, a study; here or on a cluster."""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.photo_commands import KnownLight, Optics, lines_of, scale_possible
from edgetest.errors import UnusableInput
from edgetest.study.words import counted


@dataclass(frozen=True)
class Hands:
    """Who measures: this machine's processes, or a cluster's."""

    workers: int = root.option("Processes on this machine.", int, default=2)
    on: str | None = root.option(
        "Measure on a cluster, at the address that `edgetest workers` printed. Whoever reaches a "
        "cluster can run programs on it: use one on your own network alone.",
        metavar="tcp://HOST:PORT",
    )
    shared: bool = root.option(
        "The cluster's machines see the photographs at the same paths; without it they are sent.",
        is_flag=True,
    )

    def workers_wanted(self):
        """How many processes, or which cluster."""
        if self.on is None:
            if self.shared:
                raise UnusableInput("says nothing without a cluster", "--shared", "give --on too")
            return self.workers
        from edgetest.study.cluster.reach import Cluster

        return Cluster(self.on, self.shared, tell=lambda line: click.echo(line, err=True))


@root.command("measure", "edgetest measure photos/H1_roll1_050_020.jpg --um-per-px 0.4")
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(optics=Optics, lit=KnownLight, hands=Hands)
@root.overlay_option
@click.option("--again", is_flag=True, help="Measure also what has not changed.")
@click.option("--dry-run", is_flag=True, help="Only list what would be measured.")
@root.as_json
def measure_command(photos, optics, lit, hands, overlay, again, dry_run, json_):
    """Edge width in apex-view photographs, or in all photographs of a study's folder.

    Of a study's photographs between two lamps: W30, by the needle that its study.toml names.
    A photograph that cannot be measured is listed with its reason; the others go on.
    """
    if len(photos) == 1 and (photos[0] / "study.toml").is_file():
        lit.refuse_beside_a_study()
        tasks, run = _study_tasks(photos[0], hands.workers_wanted(), again)
    else:
        tasks, run = _picture_tasks(photos, optics, lit, hands.workers_wanted())
    if dry_run:
        listing = [{"photo": str(task.path), "um_per_px": task.um_per_px} for task in tasks]
        root.say(listing, "\n".join(f"would measure {each['photo']}" for each in listing), json_)
        return
    results = run(tasks, None if json_ else root.Bar("measuring"))
    if overlay is not None:
        from edgetest.report.figures.overlay_files import write_overlays

        write_overlays(results, overlay)
    root.say([result.to_dict() for result in results], lines_of(results), json_)


def _study_tasks(folder, workers, again):
    from edgetest.study.photos.measure_changed import measure_tasks
    from edgetest.study.sources import open_source, sound
    from edgetest.study.wear.study_photos import photo_tasks

    source = sound(open_source(folder))
    tasks, missing = photo_tasks(source)
    if missing and not tasks:
        raise UnusableInput(
            f"none of the log's {counted(len(missing), 'photograph')} is there, such as "
            f"{missing[0]}",
            where=str(source.photos_folder),
            mend="copy them into the folder, or take them out of the log",
        )
    for name in missing:
        click.echo(f"{name}: is not in {source.photos_folder}; the others are measured", err=True)
    if not tasks:
        raise UnusableInput(
            "the log names no photograph to measure",
            where=source.log.name,
            mend="put the pictures into the folder photos and their names into the column photo",
        )
    return tasks, lambda tasks, bar: measure_tasks(
        tasks, source.path, workers=workers, progress=bar, again=again
    )


def _picture_tasks(photos, optics, lit, workers):
    from edgetest.study.photos.many_photos import measure_many
    from edgetest.study.photos.measure_photos import Task, pictures_in
    from edgetest.study.photos.photo_scales import existing

    known, size_px, light = optics.found()
    scale_possible(known.um_per_px)
    paths: list[Path] = []
    for path in photos:
        paths += pictures_in(path) if path.is_dir() else [existing(path)]
    if not paths:
        raise UnusableInput("no picture in this folder", str(photos[0]), "name photographs")
    named = Counter(path.name for path in paths)  # two of one name are told by their folders
    tasks = [
        Task(path, known.um_per_px, known.relative_u, known.blur_px, tone=known.tone,
             size_px=size_px, lighting=lit.declared(light),
             photo=path.as_posix() if named[path.name] > 1 else path.name)
        for path in paths
    ]  # fmt: skip
    return tasks, lambda tasks, bar: list(measure_many(tasks, workers=workers, progress=bar))
