"""Verbs on pictures, as files or as arrays: measure, scale, profile."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from edgetest.doubts import Doubt, joined
from edgetest.errors import UnusableInput
from edgetest.estimate import is_number, shown
from edgetest.verbs.given import PathLike, path_of

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import ArrayLike

    from edgetest.photo.apex.apex_light import Lighting
    from edgetest.photo.apex.apex_result import ApexMeasurement
    from edgetest.photo.scale.ruling_scale import Scale
    from edgetest.photo.side.side_view import ProfileMeasurement
    from edgetest.study.photos.photo_result import PhotoResult
    from edgetest.study.photos.side_views import SideViewResult

Picture: TypeAlias = "PathLike | ArrayLike"
Ends: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True)
class Photographs:
    """The photographs of a folder or a study, each measured or refused with its reason."""

    photos: tuple[PhotoResult, ...]

    def __iter__(self) -> Iterator[PhotoResult]:
        return iter(self.photos)

    def __len__(self) -> int:
        return len(self.photos)

    def __getitem__(self, index: int) -> PhotoResult:
        return self.photos[index]

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Those of every photograph, the gravest first."""
        return joined(*(photo.doubts for photo in self.photos))

    def summary(self) -> str:
        """A line for each photograph."""
        return "\n".join(f"{photo.photo}: {photo.summary()}" for photo in self.photos)

    def to_dict(self) -> list[dict[str, Any]]:
        """One entry a photograph, as `edgetest measure --json` prints them."""
        return [photo.to_dict() for photo in self.photos]

    def to_frame(self) -> pd.DataFrame:
        """One row a photograph: blade, cuts, station, width with its interval (µm), doubts."""
        import pandas as pd

        return pd.DataFrame([photo.to_row() for photo in self.photos])


def measure(
    picture: Picture,
    um_per_px: float | None = None,
    *,
    relative_u: float = 0.0,
    blur_px: float | None = None,
    tone: Any = "unknown",
    light: str | Mapping[str, Any] | None = None,
    workers: int | str = 2,
    again: bool = False,
) -> PhotoResult | Photographs | ApexMeasurement:
    """Measure the edge width in an apex-view photograph, an array, a folder, or a study.

    Parameters
    ----------
    picture : path-like or array_like, shape (rows, cols) or (rows, cols, 3 or 4)
        A photograph; a folder of them; a study's folder, whose scales are used; or a picture
        as an array: grey, RGB or RGBA, uint8, uint16 or floats from 0 to 1.
    um_per_px : float, optional
        Scale, µm per pixel. A file's own scale is used where none is given.
    relative_u : float
        Relative standard uncertainty of the scale, as a share.
    blur_px : float, optional
        Blur (standard deviation, pixels) known from elsewhere at the same focus.
    tone : {"unknown", "srgb", "linear"}, float, array_like or callable
        Curve on which the values are stored, such as the `curve` that `tone` finds; "unknown"
        widens the interval and is told as a doubt. A study's set-ups say their own.
    light : str or mapping, optional
        Where the light comes from: "on-axis", "ring", "dome" or "two sectors"; with the
        apertures, {"direction": "on-axis", "lens_na": 0.10, "lamp_na": 0.10}. A study declares
        its own.
    workers : int or str
        Processes, for a folder or a study; or the address of a cluster, as `edgetest workers`
        printed it.
    again : bool
        Measure also the photographs of a study that have not changed.

    Returns
    -------
    PhotoResult, Photographs or ApexMeasurement
        Of a file, a folder, an array. A picture that cannot be measured is a result too: its
        status is "refused", with the reasons.

    Raises
    ------
    UnusableInput
        If there is no such file, the scale or the light is none, or the array is no picture.

    Examples
    --------
    >>> import edgetest as et
    >>> run = et.sample_run("billhook_temper_study")
    >>> light = {"direction": "on-axis", "lens_na": 0.2}
    >>> found = et.measure(run / "photos" / "H1_roll1_100_020.jpg", um_per_px=0.4, light=light)
    >>> print(found.summary())
    bright line 8.76 (8.55 to 9.13) µm: a flat of that width, or round up to radius 59.8 µm
    """
    if not is_path(picture):
        from edgetest.study.photos.arrays import measure_array

        options = {"tone": tone, "relative_u": relative_u, "blur_px": blur_px}
        return measure_array(picture, _scale(um_per_px), lighting=_lighting(light), **options)
    from edgetest.study.photos import many_photos, measure_photos
    from edgetest.study.photos.photo_scales import LIGHT_OF_A_STUDY, existing

    path = path_of(picture, "a picture")
    if (path / "study.toml").is_file():
        if light is not None:
            raise LIGHT_OF_A_STUDY
        return Photographs(tuple(_of_study(path, workers, again)))
    if um_per_px is not None:
        _scale(um_per_px)
    lighting = _lighting(light)

    known = None if isinstance(tone, str) and tone == "unknown" else tone

    def task(each: Path) -> measure_photos.Task:
        return measure_photos.Task(
            each, um_per_px, relative_u, blur_px, tone=known, lighting=lighting
        )

    if not path.is_dir():
        return measure_photos.measure_photo(task(existing(path)))
    tasks = [task(each) for each in measure_photos.pictures_in(path)]
    return Photographs(tuple(many_photos.measure_many(tasks, workers=workers)))


def is_path(picture: Picture) -> bool:
    """Whether a picture is given as a file rather than as an array."""
    return isinstance(picture, str) or hasattr(picture, "__fspath__")


def _of_study(folder: Path, workers: int | str, again: bool) -> tuple[PhotoResult, ...]:
    from edgetest.study.sources import open_source, sound
    from edgetest.study.wear.study_photos import measure_study

    photos, _ = measure_study(sound(open_source(folder)), workers=workers, again=again)
    return photos


def _lighting(light: Any) -> Lighting:
    """The light that is declared.

    Raises
    ------
    UnusableInput
    """
    from edgetest.photo.apex.apex_light import declared_light

    if light is None or isinstance(light, str):
        return declared_light(light)
    known = ("direction", "lens_na", "lamp_na")
    if not isinstance(light, Mapping) or not set(light) <= set(known):
        mend = 'write "on-axis", or {"direction": "on-axis", "lens_na": 0.10}'
        raise UnusableInput(f"{shown(light)} is no light", "light", mend)
    return declared_light(*(light.get(name) for name in known))


def _scale(um_per_px: Any) -> float:
    """A scale that can be one.

    Raises
    ------
    UnusableInput
    """
    if is_number(um_per_px) and 0 < um_per_px < float("inf"):
        return float(um_per_px)
    what = "the scale is missing" if um_per_px is None else f"{shown(um_per_px)} is no scale"
    raise UnusableInput(what, "um_per_px", "give µm per pixel as a number above zero, such as 0.4")


def scale(
    picture: Picture,
    pitch_um: float | None = None,
    *,
    wire_um: float | None = None,
    wire_u_um: float = 0.0,
    marks: Ends | None = None,
    bar: Ends | None = None,
    distance_um: float | None = None,
    tone: Any = "unknown",
) -> Scale:
    """Take the scale, µm per pixel, from a picture of something of known size.

    Parameters
    ----------
    picture : path-like or array_like
        A photograph; or, for a stage micrometer, an array as for `measure`.
    pitch_um : float, optional
        Distance of the lines of a stage micrometer, µm.
    wire_um, wire_u_um : float, optional
        Diameter of a wire or drill shank that lies there and its standard uncertainty, µm.
    marks, bar : (row, column, row, column), optional
        Two marks, or the ends of a burnt-in scale bar, pixels.
    distance_um : float, optional
        Distance of the marks or length of the bar, µm.
    tone
        As for `measure`.

    Returns
    -------
    Scale
        `um_per_px` with `low` and `high`, and `relative_u` for `measure`.

    Raises
    ------
    UnusableInput
        If no size is given, or the picture does not show what was named.

    Examples
    --------
    >>> import edgetest as et
    >>> run = et.sample_run("billhook_temper_study")
    >>> print(et.scale(run / "photos" / "micrometer.jpg", pitch_um=10).summary())
    1 pixel = 0.4000 µm ± less than 0.1 % (ruling from 19 lines)
    """
    from edgetest.study.photos import photo_scales
    from edgetest.study.photos.arrays import scale_of_array

    if not is_path(picture):
        if pitch_um is None:
            raise UnusableInput("an array gives a micrometer's scale", "pitch_um", "give it, in µm")
        return scale_of_array(picture, pitch_um, tone=tone)
    path, ends = path_of(picture, "a picture"), marks or bar
    if pitch_um is not None:
        return photo_scales.scale_of_ruling(path, pitch_um)
    if wire_um is not None:
        return photo_scales.scale_of_wire(path, wire_um, wire_u_um)
    if ends is not None and distance_um is not None:
        return photo_scales.scale_of_marks(path, ends, distance_um, bar=marks is None)
    raise UnusableInput(
        "nothing of known size is named",
        "scale",
        "give pitch_um, or wire_um, or marks or bar with distance_um",
    )


def profile(
    picture: Picture,
    um_per_px: float | None = None,
    *,
    relative_u: float = 0.0,
    blade: str = "dark",
    tone: Any = "unknown",
) -> SideViewResult | ProfileMeasurement:
    """Measure chips and rolls along the edge in a back-lit side view.

    Parameters
    ----------
    picture : path-like or array_like
        A photograph, or an array as for `measure`.
    um_per_px : float, optional
        Scale, µm per pixel. A file's own scale is used where none is given.
    relative_u : float
        Relative standard uncertainty of the scale, as a share.
    blade : {"dark", "bright"}
        Which side of the outline is the blade.
    tone
        As for `measure`.

    Returns
    -------
    SideViewResult or ProfileMeasurement
        Of a file, of an array.

    Raises
    ------
    UnusableInput
        If there is no such file, the scale is none, or the array is no picture.

    Examples
    --------
    >>> import edgetest as et
    >>> run = et.sample_run("camp_hatchet_study")
    >>> found = et.profile(run / "photos" / "H1_after_heel.jpg", um_per_px=8)
    >>> print(found.summary())
    13.12 mm of edge: 1 chip, 1 roll; the deepest 45.9 µm at 4.96 mm
    """
    if not is_path(picture):
        from edgetest.study.photos.arrays import profile_array

        known = {"relative_u": relative_u, "blade": blade, "tone": tone}
        return profile_array(picture, _scale(um_per_px), **known)
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.side_views import measure_side_view

    if um_per_px is not None:
        _scale(um_per_px)
    return measure_side_view(
        existing(path_of(picture, "a picture")), um_per_px, relative_u, blade=blade
    )
