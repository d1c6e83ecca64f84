"""Commands on photographs: measure, scale, profile."""

from pathlib import Path

import click

from edgetest.cli.root import ABOVE_ZERO, SHARE, Bar, as_json, command, path_argument, say
from edgetest.errors import UnusableInput


@command("measure", "edgetest measure photos/H1_roll1_050_020.jpg --um-per-px 0.4")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale of the photographs, µm per pixel.")
@click.option("--scale-u", "relative_u", type=SHARE, default=0.0,
              help="Its relative uncertainty, as a share: 0.01 is 1 %.")  # fmt: skip
@click.option("--ruling", type=click.Path(path_type=Path), help="Take it from this micrometer.")
@click.option("--pitch-um", type=float, default=10.0, help="Distance of the micrometer's lines.")
@click.option("--same-focus", is_flag=True, help="The micrometer's blur holds for them too.")
@click.option("--calibration", help="Take the scale from a kept calibration of this name.")
@click.option("--calibrations-in", type=click.Path(path_type=Path), default=Path(),
              help="Folder of the calibrations; default: this one.")  # fmt: skip
@click.option("--blur-px", type=ABOVE_ZERO, help="Blur known from elsewhere, for narrow bands.")
@click.option("--overlay", type=click.Path(path_type=Path), help="Folder for overlay pictures.")
@click.option("--workers", type=int, default=2, show_default=True, help="Processes.")
@click.option("--again", is_flag=True, help="Measure also what has not changed.")
@click.option("--dry-run", is_flag=True, help="Only list what would be measured.")
@as_json
def measure(photos, um_per_px, relative_u, ruling, pitch_um, same_focus, calibration,
            calibrations_in, blur_px, overlay, workers, again, dry_run, json_):  # fmt: skip
    """Edge width in apex-view photographs, or in all photographs of a study's folder.

    A photograph that cannot be measured is listed with its reason; the others go on.
    """
    from edgetest.photo.scale.kept_scale import named
    from edgetest.study.photos import measure_photos
    from edgetest.study.photos.calibrations import read_calibrations
    from edgetest.study.photos.photo_scales import scale_of_ruling

    if len(photos) == 1 and (photos[0] / "study.toml").is_file():
        tasks, run = _study_tasks(photos[0], workers, again)
    else:
        kept = None
        if ruling is not None or calibration is not None:
            if calibration is not None:
                kept = named(read_calibrations(calibrations_in).values(), calibration)
            scale = kept.scale() if kept else scale_of_ruling(ruling, pitch_um)
            um_per_px, relative_u = scale.um_per_px, scale.relative_u
            blur_px = scale.blur_px if same_focus and blur_px is None else blur_px
        tasks, run = _picture_tasks(photos, um_per_px, relative_u, blur_px, kept, workers)
    if dry_run:
        listing = [{"photo": str(task.path), "um_per_px": task.um_per_px} for task in tasks]
        say(listing, "\n".join(f"would measure {each['photo']}" for each in listing), json_)
        return
    results = run(tasks, None if json_ else Bar("measuring"))
    if overlay is not None:
        from edgetest.report.figures.overlay_files import write_overlays

        write_overlays(results, overlay)
    say([result.to_dict() for result in results], measure_photos.table(results), json_)


def _study_tasks(folder, workers, again):
    from edgetest.study.photos.measure_photos import measure_tasks
    from edgetest.study.sources import open_source, sound
    from edgetest.study.wear.study_readings import photo_tasks

    source = sound(open_source(folder))
    tasks, missing = photo_tasks(source)
    if missing:
        raise UnusableInput(
            f"{len(missing)} photograph(s) of the log are not there, the first is {missing[0]}",
            where=str(source.photos_folder),
            mend="copy them into the folder, or take them out of the log",
        )
    if not tasks:
        raise UnusableInput(
            "the log names no photograph to measure",
            where=source.log.name,
            mend="put the pictures into the folder photos and their names into the column photo",
        )
    return tasks, lambda tasks, bar: measure_tasks(
        tasks, source.path, workers=workers, progress=bar, again=again
    )


def _scale_possible(um_per_px):
    """Refuse a scale that is given and cannot be one."""
    if um_per_px is not None and not 0 < um_per_px < float("inf"):
        raise UnusableInput(
            f"{um_per_px:g} is no scale", "--um-per-px", "give µm per pixel, above zero"
        )


def _picture_tasks(photos, um_per_px, relative_u, blur_px, calibration, workers):
    from edgetest.study.photos.measure_photos import Task, measure_many, pictures_in
    from edgetest.study.photos.photo_scales import existing

    _scale_possible(um_per_px)
    paths: list[Path] = []
    for path in photos:
        paths += pictures_in(path) if path.is_dir() else [existing(path)]
    if not paths:
        raise UnusableInput("no picture in this folder", str(photos[0]), "name photographs")
    size = (calibration.width_px, calibration.height_px) if calibration else None
    tasks = [Task(path, um_per_px, relative_u, blur_px, size_px=size) for path in paths]
    return tasks, lambda tasks, bar: list(measure_many(tasks, workers=workers, progress=bar))


@command("scale", "edgetest scale photos/micrometer.jpg --pitch-um 10 --keep-as 'scope, zoom 4'")
@path_argument("photo")
@click.option("--pitch-um", type=float, help="Distance of the micrometer's lines, µm.")
@click.option("--wire-um", type=float, help="Diameter of a wire or drill shank lying there, µm.")
@click.option("--wire-u-um", type=float, default=0.0, help="Its standard uncertainty, µm.")
@click.option("--marks", nargs=4, type=float, metavar="ROW COL ROW COL", help="Two marks, pixels.")
@click.option("--bar", nargs=4, type=float, metavar="ROW COL ROW COL",
              help="Ends of a burnt-in scale bar, pixels.")  # fmt: skip
@click.option("--distance-um", type=float, help="Distance of the marks, length of the bar, µm.")
@click.option("--keep-as", help="Keep it as a calibration of this name.")
@click.option("--calibrations-in", type=click.Path(path_type=Path), default=Path(),
              help="Folder of the calibrations; default: this one.")  # fmt: skip
@as_json
def scale(photo, pitch_um, wire_um, wire_u_um, marks, bar, distance_um, keep_as, calibrations_in,
          json_):  # fmt: skip
    """Micrometres per pixel: from a stage micrometer, a wire, two marks or a scale bar."""
    from edgetest.study.photos import photo_scales

    if pitch_um is not None:
        found = photo_scales.scale_of_ruling(photo, pitch_um)
    elif wire_um is not None:
        found = photo_scales.scale_of_wire(photo, wire_um, wire_u_um)
    elif (marks or bar) and distance_um is not None:
        found = photo_scales.scale_of_marks(photo, marks or bar, distance_um, bar=bool(bar))
    else:
        raise UnusableInput(
            "the distance of the lines is missing",
            where="edgetest scale",
            mend="give --pitch-um 10, or --wire-um, or --marks or --bar with --distance-um",
        )
    if keep_as is not None:
        from edgetest.study.photos.calibrations import keep_calibration

        keep_calibration(calibrations_in, found, keep_as, photo)
    say(found.to_dict(), found.summary(), json_)


@command("profile", "edgetest profile before.jpg after.jpg --um-per-px 8 --follow")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale, µm per pixel.")
@click.option("--scale-u", "relative_u", type=SHARE, default=0.0,
              help="Its relative uncertainty, as a share: 0.01 is 1 %.")  # fmt: skip
@click.option("--bright-blade", is_flag=True, help="The blade is bright on a dark ground.")
@click.option("--follow", "following", is_flag=True,
              help="Two photographs of one edge: how each chip grew.")  # fmt: skip
@click.option("--shift-um", type=float,
              help="How much further along the second picture a place of the first lies, µm; "
              "else found from the damage.")  # fmt: skip
@click.option("--overlay", type=click.Path(path_type=Path), help="Folder for overlay pictures.")
@as_json
def profile(photos, um_per_px, relative_u, bright_blade, following, shift_um, overlay, json_):
    """Chips and rolls along the edge in back-lit side views."""
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.side_views import follow_side_views, measure_side_view

    blade = "bright" if bright_blade else "dark"
    if following and len(photos) != 2:
        raise UnusableInput(
            f"{len(photos)} photographs to follow", "edgetest profile", "give before and after"
        )
    _scale_possible(um_per_px)
    results = [measure_side_view(existing(p), um_per_px, relative_u, blade=blade) for p in photos]
    if overlay is not None:
        from edgetest.report.figures.overlay_files import write_overlays

        write_overlays(results, overlay)
    text = "\n".join(f"{result.photo}: {result.summary()}" for result in results)
    if following:
        grown = follow_side_views(*results, shift_um=shift_um)
        say(grown.to_dict(), f"{text}\n{grown.summary()}", json_)
        return
    say([result.to_dict() for result in results], text, json_)


def _scale_wanted(um_per_px):
    if um_per_px is None or not um_per_px > 0:
        raise UnusableInput("the scale is missing", "--um-per-px", "give µm per pixel, above zero")
    return um_per_px


@command("stack", "edgetest stack low.jpg middle.jpg high.jpg --um-per-px 0.4 --to sharp.png")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale, µm per pixel.")
@click.option("--scale-u", "relative_u", type=SHARE, default=0.0,
              help="Its relative uncertainty, as a share: 0.01 is 1 %.")  # fmt: skip
@click.option("--to", "target", type=click.Path(path_type=Path), help="Keep the sharp picture.")
@as_json
def stack(photos, um_per_px, relative_u, target, json_):
    """Fuse photographs of one place at different heights into a sharp one, and measure it."""
    from edgetest.report.figures.overlay_files import write_grey
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.surveys import measure_stack

    paths = [existing(path) for path in photos]
    result, fused = measure_stack(paths, _scale_wanted(um_per_px), relative_u)
    if target is not None:
        write_grey(fused, target)
    say(result.to_dict(), f"{result.photo}: {result.summary()}", json_)


@command("survey", "edgetest survey heel.jpg middle.jpg tip.jpg --um-per-px 0.4 --to widths.csv")
@path_argument("photos", nargs=-1, required=True)
@click.option("--um-per-px", type=float, help="Scale, µm per pixel.")
@click.option("--scale-u", "relative_u", type=SHARE, default=0.0,
              help="Its relative uncertainty, as a share: 0.01 is 1 %.")  # fmt: skip
@click.option("--to", "target", type=click.Path(path_type=Path), help="CSV of width by position.")
@as_json
def survey(photos, um_per_px, relative_u, target, json_):
    """Join overlapping photographs along an edge, heel to tip, and give the width along it."""
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.surveys import survey as run

    paths = [existing(path) for path in photos]
    progress = None if json_ else Bar("measuring")
    found = run(paths, _scale_wanted(um_per_px), relative_u, progress=progress)
    if target is not None:
        found.strip.to_frame().round(4).to_csv(target, index=False)
    say(found.to_dict(), found.summary(), json_)
