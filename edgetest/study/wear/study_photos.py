"""Which photographs does a study's log name, and what did each give, place by place?"""

from dataclasses import replace

from edgetest.doubts import Doubt, doubt, joined, told
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import NOT_NOTED
from edgetest.study.words import counted

MOST_NAMED = 6  # missing photographs that are named


def photo_tasks(source):
    """The photographs that the log names, each once, with their set-ups; and the names missing.

    Parameters
    ----------
    source : Source

    Returns
    -------
    (list of Task, tuple of str)
        A photograph between two lamps has its needle, and the on-axis picture of the same blade,
        stage and station where the log names one.

    Raises
    ------
    UnusableInput
        If a scale cannot be taken, or a needle's picture is not there.
    """
    from edgetest.study.photos import photo_scales
    from edgetest.study.photos.corrections import NO_CORRECTION, corrections
    from edgetest.study.photos.measure_photos import Task

    study = source.study
    scales, tones, sizes, lights = (
        read(study) if study else {}
        for read in (
            photo_scales.scales_of_study,
            photo_scales.tones_of_study,
            photo_scales.sizes_of_study,
            photo_scales.lights_of_study,
        )
    )
    corrected = corrections(source.path) if study else {}
    tasks, missing, rows = {}, [], {}
    for row in source.log.rows:
        if not row.photo or row.photo in tasks:
            continue
        path = source.photos_folder / row.photo
        if not path.is_file():
            missing.append(row.photo)
            continue
        scale = scales.get(row.scale)
        rows[row.photo] = row
        tasks[row.photo] = Task(
            path=path,
            photo=row.photo,
            um_per_px=scale.um_per_px if scale else None,
            relative_u=scale.relative_u if scale else 0.0,
            blur_px=None,
            correction=corrected.get(row.photo, NO_CORRECTION),
            scale_name=row.scale,
            tone=tones.get(row.scale),
            size_px=sizes.get(row.scale),
            lighting=lights.get(row.scale, NOT_NOTED),
        )
    return _between_lamps(study, tasks, rows), tuple(missing)


def photographs_missing(source):
    """Names of the photographs that the log names and the folder does not hold, each once."""
    names = dict.fromkeys(row.photo for row in source.log.rows if row.photo)
    return tuple(name for name in names if not (source.photos_folder / name).is_file())


def missing_doubts(missing):
    """The doubt that photographs are missing, with the first of their names; none without any."""
    if not missing:
        return []
    more = f" and {len(missing) - MOST_NAMED} more" if len(missing) > MOST_NAMED else ""
    which = ", ".join(missing[:MOST_NAMED]) + more
    words = {"photographs": counted(len(missing), "photograph"), "which": which}
    return [doubt("photograph_missing", **words)]


def _between_lamps(study, tasks, rows):
    """The tasks, those between two lamps with needle, lamps and on-axis picture."""
    through = {
        _place(rows[name]): task
        for name, task in tasks.items()
        if task.lighting.direction == "on-axis" and not rows[name].exclude
    }
    return [
        replace(task, lamps=_lamps(study, task, rows[name], through))
        if _is_crest(study, task)
        else task
        for name, task in tasks.items()
    ]


def _is_crest(study, task):
    """Whether a photograph is measured as a crest, by the light that its set-up declares."""
    rule = _rule(study, task.scale_name) if study is not None else None
    return rule is not None and rule.between_lamps


def _rule(study, name):
    return study.scales.get(name) if name else study.scale


def _lamps(study, task, row, through):
    """Needle, lamps and on-axis picture of a photograph."""
    from edgetest.study.photos.crests import LampTask

    rule = _rule(study, row.scale)
    place = rule.needle and needle_place(study, rule)
    setup = rule.lamps(task.um_per_px, task.relative_u)
    on_axis = through.get(_place(row))
    return LampTask(place, rule.pin(), setup, on_axis, rule.needle_date, row.date)


def needle_place(study, rule):
    """Where the picture of a set-up's needle lies.

    Raises
    ------
    UnusableInput
        If it is not there.
    """
    path = study.folder / rule.needle
    if not path.is_file():
        raise UnusableInput(
            f"the needle's picture {rule.needle} is not there",
            "study.toml, scale",
            "put it into the study's folder, or mend its name",
        )
    return path


def needle_faults(source):
    """What is wrong with the needles of a study's set-ups, as faults of study.toml."""
    study = source.study
    if study is None:
        return []
    named = {row.scale for row in source.log.rows if row.photo and not row.exclude}
    rules = study.scales | ({"": study.scale} if study.scale else {})
    found = []
    for name, rule in rules.items():
        where = f"study.toml, scales.{name}" if name else "study.toml, scale"
        try:
            if rule.needle is not None:
                needle_place(study, rule)
            elif rule.light == "two sectors" and name in named:
                mend = 'add needle = "photos/needle.jpg" and needle_diameter_mm = 0.4'
                what = "two lamps without a needle tell no size"
                raise UnusableInput(what, where, mend)
        except UnusableInput as fault:
            found.append(UnusableInput(fault.what, where, fault.mend))
    return found


def _place(row):
    """What two pictures of one place share."""
    return row.blade, row.block, row.cuts, row.station_mm, row.check_no or 1


def measure_study(source, *, workers=2, progress=None, again=False):
    """Measure the photographs that a study's log names; unchanged ones are taken from before.

    Returns
    -------
    (tuple of PhotoResult, tuple of str)
        The results with blade, cuts and station, and the photographs that are missing.
    """
    from edgetest.study.photos.measure_changed import measure_tasks
    from edgetest.study.photos.same_pictures import same_pictures

    tasks, missing = photo_tasks(source)
    results = measure_tasks(tasks, source.path, workers=workers, progress=progress, again=again)
    rows = {row.photo: row for row in reversed(source.log.rows) if row.photo}
    twice = {name: one for one, names in same_pictures(source.log.rows, source.photos_folder)
             for name in names}  # fmt: skip
    placed = (_placed(result, rows[result.photo]) for result in results)
    return tuple(_doubted(result, twice.get(result.photo)) for result in placed), missing


def _placed(result, row):
    return replace(result, blade=row.blade, cuts=float(row.cuts), station_mm=row.station_mm)


def _doubted(result, more):
    """The result with a doubt that the log alone tells; it is not kept in measured.csv."""
    if more is None:
        return result
    own = [Doubt.from_dict(one) for one in result.numbers["doubts"]]
    return replace(result, numbers={**result.numbers, **told(joined(own, [more]))})
