"""One table of readings per study: what was typed and what was measured, side by side."""

from dataclasses import dataclass, replace
from functools import cache, partial
from math import isnan, nan

import numpy as np

from edgetest.doubts import Doubt, doubt
from edgetest.errors import UnusableInput
from edgetest.study.photos.photo_result import PhotoResult
from edgetest.study.photos.sort_eye import eye_doubts
from edgetest.study.wear.apex_doubts import apex_doubts
from edgetest.study.wear.blades_of_other_scale import other_scale_doubts
from edgetest.study.wear.fresh_apart import fresh_apart_doubts
from edgetest.study.wear.kept_repeats import REPEATS_FILE, KeptRepeats, kept_repeats
from edgetest.study.wear.left_out_rows import left_out_doubts
from edgetest.study.wear.photo_values import (
    AREA,
    PHOTOGRAPHED,
    WIDTH,
    gives,
    number_of_photo,
    value_of_photo,
)
from edgetest.study.wear.picture_or_hand import (
    NOTHING_AGAINST,
    AgainstHand,
    pictures_against_hand,
)
from edgetest.study.wear.study_photos import measure_study, missing_doubts
from edgetest.study.wear.typed_beside_photo import apart_doubts
from edgetest.study.wear.typed_scale import typed_scale_of
from edgetest.study.wear.wear_result import UsedReading, counted_doubt
from edgetest.study.words import counted
from edgetest.wear.curve.stage_cells import wear_readings

MOST_PHOTOS = 3  # of one fault that are named


@dataclass(frozen=True)
class StudyReadings:
    """Every reading of one kind as the fit meets it, excluded ones included and marked.

    `repeats` is how well the column repeats, where that is kept with the study; `against_hand`
    the stages whose photographs say keen and the hand dull; `typed_scale_u` how far the scale that
    widths were typed by may be off (relative), where the study says so.
    """

    reading: str
    readings: tuple[UsedReading, ...]
    photos: tuple[PhotoResult, ...] = ()
    repeats: KeptRepeats | None = None
    doubts: tuple[Doubt, ...] = ()
    against_hand: AgainstHand = NOTHING_AGAINST
    typed_scale_u: float = 0.0

    @property
    def used(self):
        """Those that count."""
        return [each for each in self.readings if not each.excluded]

    def columns(self):
        """The readings that count as the fit takes them."""
        used = self.used
        return wear_readings(
            [each.run for each in used],
            [each.cuts for each in used],
            [each.value for each in used],
            lower=[each.lower for each in used],
            upper=[each.upper for each in used],
            station=[each.station for each in used],
            relative_u=self.scale_shares()[1],
            row=[each.line for each in used],
        )

    def scale_shares(self):
        """The scale's relative uncertainty that all readings share, and each reading's own.

        One scale for all photographs, or for all typed widths: its error moves every width
        together. Several: the error is taken as each reading's own, which widens the comparison
        too. What typed widths share beside photographs of one scale, or these share, whichever
        is more, is in every life besides.
        """
        own = np.array([each.relative_u for each in self.used], dtype=float)
        typed = np.array([each.source == "log" for each in self.used])
        typed_u = self.typed_scale_u if typed.any() else 0.0
        if typed.all():
            return typed_u, own
        lit = [photo for photo in self.photos if gives(photo, self.reading)]
        kinds = scales_of(lit)
        of_one = next(iter(kinds.values()), 0.0) if len(kinds) <= 1 else 0.0
        if len(kinds) <= 1 and not typed_u:
            return of_one, own
        scales = {photo.photo: photo.scale_u for photo in lit}
        of_photos = np.array([scales.get(each.photo, 0.0) for each in self.used])
        extra = np.where(typed, typed_u, of_photos)
        return max(typed_u, of_one), np.hypot(np.nan_to_num(own), extra)


def scales_of(photos):
    """What every set-up that gave a measurement shares: its relative uncertainty, by its name.

    Of crests by one needle at one scale the largest counts.
    """
    found: dict[tuple[str, float], float] = {}
    for photo in photos:
        if photo.measured:
            lamps = photo.between_lamps
            known_by = photo.numbers["scale"]["um_per_px"] if lamps else photo.scale_u
            kind = photo.task.scale_name, known_by
            found[kind] = max(found.get(kind, 0.0), photo.scale_u)
    return found


def readings_of_study(source, reading, *, workers=2, progress=None):
    """The readings of one kind that a source holds, its photographs measured for them.

    Parameters
    ----------
    source : Source
    reading : str
        A column of the log, or "worn_area_um2".
    workers, progress
        For photographs; see `edgetest.study.photos.measure_photos`.

    Returns
    -------
    StudyReadings
        Its doubts are in the order in which they arise.
    """
    study, doubts = source.study, []
    photos: tuple[PhotoResult, ...] = ()
    if study is not None and study.invented:
        doubts.append(doubt("invented"))
    if reading in PHOTOGRAPHED and any(row.photo for row in source.log.rows):
        photos, missing = measure_study(source, workers=workers, progress=progress)
        doubts += _lost(reading, photos, missing)
    repeats = kept_repeats(source.path) if study is not None else {}
    repeats = repeats.get(WIDTH if reading == AREA else reading)
    readings, more = used_readings(source, reading, photos, repeats)
    excluded = sum(each.excluded for each in readings)
    doubts += [*more, *([counted_doubt("excluded_rows", excluded)] if excluded else [])]
    doubts += left_out_doubts(source.log, readings)
    doubts += (apart := other_scale_doubts(readings))
    doubts += fresh_apart_doubts(readings, apart)
    lit = [photo for photo in photos if gives(photo, reading)]
    doubts += [doubt("scales_differ")] if len(scales_of(lit)) > 1 else []
    lines = readings if reading in (WIDTH, AREA) else ()
    against = pictures_against_hand(source, lines, runs_of(source))
    doubts += eye_doubts(source, reading, readings)
    doubts += [*apex_doubts(study, reading, readings, lit), *against.doubts]
    typed_u = typed_scale_of(study, reading)
    return StudyReadings(reading, readings, photos, repeats, tuple(doubts), against, typed_u)


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


def _lost(reading, photos, missing):
    """Photographs that give no reading of their own: refused, missing, or another one again."""
    refused = [photo for photo in photos if gives(photo, reading) and not photo.measured]
    told = []
    if refused:
        words = {"photographs": counted(len(refused), "photograph"), "which": _which(refused)}
        told.append(doubt("photograph_refused", **words))
    told += missing_doubts(missing)
    twice = (one for photo in photos for one in photo.doubts if one.code == "same_picture")
    return [*told, *dict.fromkeys(twice)]


def _which(refused):
    """Photographs that were refused by what is wrong with them, the first of each by name."""
    names: dict[str, list[str]] = {}
    for photo in refused:
        names.setdefault(photo.numbers["reasons"][0]["code"].replace("_", " "), []).append(
            photo.photo
        )
    told = []
    for why, mine in sorted(names.items(), key=lambda each: -len(each[1])):
        more = f" and {len(mine) - MOST_PHOTOS} more" if len(mine) > MOST_PHOTOS else ""
        told.append(f"{why} {', '.join(mine[:MOST_PHOTOS])}{more}")
    return "; ".join(told)


def used_readings(source, reading, photos=(), repeats=None):
    """Every reading of one kind as the fit meets it, excluded ones included and marked.

    Parameters
    ----------
    source : Source
    reading : str
        A column of the log; "worn_area_um2" is the worn area per length of edge, from the
        edge width and each blade's edge angle.
    photos : sequence of PhotoResult
        Measured photographs; they give edge widths, or W30.
    repeats : KeptRepeats, optional
        How well the column repeats: the uncertainty of what was typed.

    Returns
    -------
    (tuple of UsedReading, list of Doubt)
        The readings and the doubts that go with them.
    """
    column = WIDTH if reading == AREA else reading
    photographs_first = source.study is None or source.study.edge_width_from == "photographs"
    rows, place_of = list(_cells_read(source, column, photos)), _place_reader(source)
    typed_of = cache(partial(_typed, repeats=repeats))
    found = [
        UsedReading(
            **place_of(row), **_value_of(column, typed, measured, typed_of, photographs_first)
        )
        for row, typed, measured in rows
    ]
    doubts = []
    if any(typed is not None and measured is not None for _, typed, measured in rows):
        used = "the photographs'" if photographs_first else "the typed ones"
        doubts.append(doubt("both_typed_and_measured", used=used))
        doubts += apart_doubts(column, rows, repeats, used)
    if repeats is not None and any(each.source == "log" for each in found):
        doubts.append(doubt("repeatability_used", spread=spread_words(repeats)))
    if reading == AREA:
        found = [_area(source, each) for each in found]
    return tuple(found), doubts


def _cells_read(source, column, photos):
    """Rows that hold a reading: the row, what was typed, and what its photograph gave."""
    measured = {
        photo.photo: photo.numbers for photo in photos if photo.measured and gives(photo, column)
    }
    for row in source.log.rows:
        of_photo = measured.get(row.photo)
        if row.readings.get(column) is not None or of_photo is not None:
            yield row, row.readings.get(column), of_photo


def _value_of(column, typed, measured, typed_of, photographs_first):
    """What counts of a typed reading and a measured one, and both as they were."""
    use_photo = measured is not None and (typed is None or photographs_first)
    value, lower, upper, relative_u = (
        value_of_photo(column, measured) if use_photo else typed_of(typed)
    )
    return {
        "value": value,
        "lower": lower,
        "upper": upper,
        "relative_u": relative_u,
        "source": "photograph" if use_photo else "log",
        "typed": typed and typed.value,
        "measured": number_of_photo(column, measured),
    }


def _place_reader(source):
    """Reads where and when a row was read, and whether it counts; names are looked up once."""
    runs, treatments = runs_of(source), cache(partial(treatment_of, source))
    station_of = cache("{:g}".format)

    def place_of(row):
        return {
            "blade": row.blade,
            "heat_treatment": treatments(row.blade),
            "cuts": float(row.cuts),
            "station": "" if row.station_mm is None else station_of(row.station_mm),
            "line": row.line,
            "run": runs[row.blade, row.block],
            "block": row.block,
            "photo": row.photo,
            "excluded": bool(row.exclude),
            "reason": row.exclude,
        }

    return place_of


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
    from edgetest.wear.curve.worn_wedge import worn_area

    if source.study is None:
        raise UnusableInput(
            "the worn area needs each blade's edge angle",
            where=str(source.path),
            mend="make a study of the log (`edgetest new`) and give the blades their angles",
        )
    angle = source.study.blade(reading.blade).included_angle_deg
    if angle is None:
        raise UnusableInput(
            "the worn area needs the edge angle, and none is noted",
            where=f"{source.path}, study.toml, blade {reading.blade}",
            mend="add angle_per_side_deg or included_angle_deg as it was ground",
        )

    def area(width):
        return nan if width is None or isnan(width) else float(worn_area(width, angle))

    return replace(
        reading,
        value=area(reading.value),
        lower=area(reading.lower),
        upper=area(reading.upper),
        typed=None if reading.typed is None else area(reading.typed),
        measured=None if reading.measured is None else area(reading.measured),
        relative_u=2 * reading.relative_u,
    )
