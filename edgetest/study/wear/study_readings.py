"""One table of readings per study: what was typed and what was measured, side by side."""

from math import isnan, nan

from edgetest.errors import UnusableInput
from edgetest.photo.scale.ruling_scale import Scale
from edgetest.study.photos.corrections import NO_CORRECTION, corrections
from edgetest.study.photos.measure_photos import Task, measure_tasks
from edgetest.study.photos.photo_scales import scales_of_study, sizes_of_study, tones_of_study
from edgetest.study.wear.kept_repeats import REPEATS_FILE
from edgetest.study.wear.wear_result import PhotoResult, UsedReading, warn

WIDTH = "edge_width_um"
AREA = "worn_area_um2"


def photo_tasks(source):
    """The photographs that the log names, each once, with their scales; and the names missing."""
    scales = scales_of_study(source.study) if source.study else {}
    tones = tones_of_study(source.study) if source.study else {}
    sizes = sizes_of_study(source.study) if source.study else {}
    corrected = corrections(source.path) if source.study else {}
    tasks, missing = {}, []
    for row in source.log.rows:
        if not row.photo or row.photo in tasks:
            continue
        path = source.photos_folder / row.photo
        if not path.is_file():
            missing.append(row.photo)
            continue
        scale: Scale | None = scales.get(row.scale)
        tasks[row.photo] = Task(
            path=path,
            um_per_px=scale.um_per_px if scale else None,
            relative_u=scale.relative_u if scale else 0.0,
            blur_px=None,
            correction=corrected.get(row.photo, NO_CORRECTION),
            scale_name=row.scale,
            tone=tones.get(row.scale),
            size_px=sizes.get(row.scale),
        )
    return list(tasks.values()), tuple(missing)


def measure_study(source, *, workers=2, progress=None, again=False):
    """Measure the photographs that a study's log names; unchanged ones are taken from before.

    Returns
    -------
    (tuple of PhotoResult, tuple of str)
        The results with blade, cuts and station, and the photographs that are missing.
    """
    tasks, missing = photo_tasks(source)
    results = measure_tasks(tasks, source.path, workers=workers, progress=progress, again=again)
    rows = {row.photo: row for row in reversed(source.log.rows) if row.photo}
    placed = tuple(_placed(result, rows[result.photo]) for result in results)
    return placed, missing


def _placed(result: PhotoResult, row):
    from dataclasses import replace

    return replace(result, blade=row.blade, cuts=float(row.cuts), station_mm=row.station_mm)


def treatment_of(source, blade):
    """Heat treatment of a blade from the study, else from the log, else ""."""
    if source.study:
        return source.study.heat_treatment_of(blade) or ""
    return source.log.heat_treatment_of(blade)


def runs_of(source):
    """A run's name by (blade, block): the blade's own, or with the block where it has several."""
    pairs = dict.fromkeys((row.blade, row.block) for row in source.log.rows)
    several = [blade for blade, _ in pairs]
    return {
        (blade, block): f"{blade} · {block}" if several.count(blade) > 1 else blade
        for blade, block in pairs
    }


def used_readings(source, reading, photos=(), repeats=None):
    """Every reading of one kind as the fit meets it, excluded ones included and marked.

    Parameters
    ----------
    source : Source
    reading : str
        A column of the log; "worn_area_um2" is the worn area per length of edge, from the
        edge width and each blade's edge angle.
    photos : sequence of PhotoResult
        Measured photographs; they give edge widths.
    repeats : KeptRepeats, optional
        How well the column repeats: the uncertainty of what was typed.

    Returns
    -------
    (tuple of UsedReading, list of dict)
        The readings and the warnings that go with them.
    """
    column = WIDTH if reading == AREA else reading
    by_name = {photo.photo: photo for photo in photos} if column == WIDTH else {}
    photographs_first = source.study is None or source.study.edge_width_from == "photographs"
    runs = runs_of(source)
    found, both = [], 0
    for row in source.log.rows:
        typed = row.readings.get(column)
        photo = by_name.get(row.photo)
        measured = photo.numbers if photo is not None and photo.measured else None
        if typed is None and measured is None:
            continue
        both += typed is not None and measured is not None
        use_photo = measured is not None and (typed is None or photographs_first)
        value, lower, upper, relative_u = (
            _from_photo(measured) if use_photo else _typed(typed, repeats)
        )
        found.append(
            UsedReading(
                blade=row.blade,
                heat_treatment=treatment_of(source, row.blade),
                cuts=float(row.cuts),
                station="" if row.station_mm is None else f"{row.station_mm:g}",
                value=value,
                lower=lower,
                upper=upper,
                relative_u=relative_u,
                source="photograph" if use_photo else "log",
                line=row.line,
                run=runs[row.blade, row.block],
                block=row.block,
                photo=row.photo,
                typed=None if typed is None else typed.value,
                measured=_mean(measured),
                excluded=bool(row.exclude),
                reason=row.exclude,
            )
        )
    warnings = []
    if both:
        used = "the photographs'" if photographs_first else "the typed ones"
        warnings.append(warn("both_typed_and_measured", used=used))
    if repeats is not None and any(each.source == "log" for each in found):
        warnings.append(warn("repeatability_used", spread=spread_words(repeats)))
    if reading == AREA:
        found = [_area(source, each) for each in found]
    return tuple(found), warnings


def _mean(numbers):
    width = numbers["width_um"] if numbers else None
    return width["mean"] if width else None


def _from_photo(numbers):
    """Value, bounds and relative uncertainty (without the scale's share) of a measurement."""
    width = numbers["width_um"]
    if width is None:
        return nan, nan, numbers["below_um"], nan
    return width["mean"], nan, nan, (numbers["width_u_um"] or 0.0) / width["mean"]


def _typed(reading, repeats):
    """Value, bounds and relative uncertainty of a typed reading; nan leaves it to the scatter."""
    value, lower, upper = (
        nan if number is None else float(number)
        for number in (reading.value, reading.lower, reading.upper)
    )
    sizes = [size for size in (value, upper, lower) if size > 0]
    known = repeats is not None and sizes
    return value, lower, upper, repeats.relative_at(sizes[0]) if known else nan


def spread_words(repeats):
    """A kept repeatability in words: "3.1 % (12 readings, repeats.csv, 2026-05-04)"."""
    size = f"{100 * repeats.sd_repeat:.2g} %" if repeats.relative else f"{repeats.sd_repeat:.3g}"
    return f"{size} ({REPEATS_FILE}: {repeats.words()})"


def _area(source, reading):
    """The reading as worn area per length of edge."""
    from dataclasses import replace

    from edgetest.wear.curve.worn_wedge import worn_area

    if source.study is None:
        raise UnusableInput(
            "the worn area needs each blade's edge angle",
            where=str(source.path),
            mend="make a study of the log (`edgetest new`) and give the blades their angles",
        )
    angle = source.study.blade(reading.blade).included_angle_deg

    def area(width):
        return nan if width is None or isnan(width) else float(worn_area(width, angle))

    return replace(
        reading,
        value=area(reading.value),
        lower=area(reading.lower),
        upper=area(reading.upper),
        relative_u=2 * reading.relative_u,
    )
