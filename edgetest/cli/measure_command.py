"""The command measure: photographs, a folder of them, a study; here or on a cluster."""

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.photo_commands import KnownLight, Optics, each_line, scale_possible
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


@dataclass(frozen=True)
class Keeping:
    """What becomes of results, and of those that were kept before."""

    again: bool = root.option("Measure again what has not changed, too.", is_flag=True)
    keep_in: Path | None = root.option(
        "Of photographs outside a study: keep each result in this folder's measured.csv as it "
        "comes; what is kept there is not measured again.",
        root.PATH,
    )

    def folder(self):
        """Where results are kept, made if it is not there; None for nowhere."""
        if self.keep_in is None:
            return None
        if (self.keep_in / "study.toml").is_file():
            raise KEPT_BY_ITSELF
        self.keep_in.mkdir(parents=True, exist_ok=True)
        return self.keep_in


KEPT_BY_ITSELF = UnusableInput(
    "a study keeps its own results", "--keep-in", "leave it out, or give another folder"
)


@root.command("measure", "edgetest measure photos/H1_roll1_050_020.jpg --um-per-px 0.4")
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(optics=Optics, lit=KnownLight, hands=Hands, keeping=Keeping)
@root.overlay_option
@click.option("--dry-run", is_flag=True, help="Only list what would be measured.")
@root.as_json
def measure_command(photos, optics, lit, hands, keeping, overlay, dry_run, json_):
    """Edge width in apex-view photographs, or in all photographs of studies.

    Give photographs, folders of them, a study's folder, a folder that holds studies, or a zip
    of studies, which is unpacked into a folder of its name beside it. Of a study's photographs
    between two lamps: W30, by the needle that its study.toml names.
    A photograph that cannot be measured is listed with its reason; the others go on.
    """
    folders, workers = _studies_among(photos), hands.workers_wanted()
    if folders:
        lit.refuse_beside_a_study()
        if keeping.keep_in is not None:
            raise KEPT_BY_ITSELF
        batches = _study_batches(folders)
    else:
        batches = [Batch("", _picture_tasks(photos, optics, lit), keeping.folder())]
    if dry_run:
        listing = [{"photo": str(task.path), "um_per_px": task.um_per_px}
                   for batch in batches for task in batch.tasks]  # fmt: skip
        root.say(listing, "\n".join(f"would measure {each['photo']}" for each in listing), json_)
        return
    bar = None if json_ else root.Bar("measuring")
    found = _measured(batches, workers, bar, keeping.again)
    if overlay is not None:
        from edgetest.report.figures.overlay_files import write_overlays

        for batch, results in zip(batches, found, strict=True):
            write_overlays(results, overlay / batch.study)
    _say(batches, found, json_)


def _say(batches, found, json_):
    """Print each result; of several studies with its study's name."""

    def every():
        for batch, results in zip(batches, found, strict=True):
            for result in results:
                yield batch.study, result

    root.say_each(
        ({**({"study": study} if study else {}), **result.to_dict()} for study, result in every()),
        each_line(replace(result, photo=str(Path(study) / result.photo))
                  for study, result in every()),
        json_,
    )  # fmt: skip


@dataclass(frozen=True)
class Batch:
    """Photographs that are kept together: of one study where several are measured, or loose."""

    study: str
    tasks: list
    folder: Path | None


def _measured(batches, workers, bar, again):
    """The results of each batch."""
    from edgetest.study.photos.held_results import HeldResults, ResultsInOrder
    from edgetest.study.photos.many_photos import as_they_come
    from edgetest.study.photos.measure_changed import measure_studies

    if batches[0].folder is None:
        tasks, held = batches[0].tasks, HeldResults()
        for number, result in as_they_come(tasks, workers=workers, progress=bar):
            held.hold(number, result)
        return [ResultsInOrder(range(len(tasks)), lambda number: held.of(number, tasks[number]))]
    kept = [(batch.tasks, batch.folder) for batch in batches]
    return measure_studies(kept, workers=workers, progress=bar, again=again)


def _studies_among(paths):
    """The studies that are given, or that lie in the folder that is given; none else."""
    from edgetest.store.shop_index import studies_of
    from edgetest.study.photos.measure_photos import pictures_in

    if all((path / "study.toml").is_file() for path in paths):
        return paths
    (folder, *more) = paths
    if not more and folder.suffix.lower() == ".zip" and folder.is_file():
        return _unpacked(folder)
    if more or not folder.is_dir() or pictures_in(folder):
        return ()
    return studies_of(folder)


def _unpacked(archive):
    """The studies of an archive, in a folder of its name beside it."""
    from edgetest.store.study_zip import import_studies

    folder = archive.with_suffix("")
    if (folder / "study.toml").is_file():
        mend = "measure that folder, or give the zip another name"
        raise UnusableInput("a study of this name lies beside it", str(archive), mend)
    studies = import_studies(archive, folder, progress=root.Bar("unpacking"))
    click.echo(f"{counted(len(studies), 'study', 'studies')} in {folder}: results are kept there",
               err=True)  # fmt: skip
    return studies


def _study_batches(folders):
    """The photographs of each study; of several, one that cannot be measured is told, once."""
    if len(folders) == 1:
        return [replace(_study_batch(folders[0]), study="")]
    batches, faults = [], []
    for folder in folders:
        try:
            batches.append(_study_batch(folder))
        except UnusableInput as fault:
            faults.append(fault)
            click.echo(f"{folder.name}: left out: {root.said(fault, [])}", err=True)
    if not batches:
        raise faults[0]
    return batches


def _study_batch(folder):
    """The photographs that a study's log names."""
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
    if not tasks and source.chops is not None and not source.log.rows:
        raise _of_chops(source)
    if not tasks:
        raise UnusableInput(
            "the log names no photograph to measure",
            where=source.log.name,
            mend="put the pictures into the folder photos and their names into the column photo",
        )
    return Batch(source.path.name, tasks, source.path)


def _of_chops(source):
    """A chop test holds no apex photographs: where its side views are measured, as a fault."""
    named = any(row.photo for row in source.chops.rows)
    what = (
        "photographs of a chop test are side views" if named else "a chop test names no apex view"
    )
    return UnusableInput(
        f"{what}, and `edgetest measure` reads the width of an edge in apex views",
        where=source.chops.name,
        mend=f"`edgetest chop {source.path}` measures the chips and rolls of all of them, "
        "`edgetest profile PHOTO --um-per-px X` those of one",
    )


def _picture_tasks(photos, optics, lit):
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
    return [
        Task(path, known.um_per_px, known.relative_u, known.blur_px, tone=known.tone,
             size_px=size_px, lighting=lit.declared(light),
             photo=path.as_posix() if named[path.name] > 1 else path.name)
        for path in paths
    ]  # fmt: skip
