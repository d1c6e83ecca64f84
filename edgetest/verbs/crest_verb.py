"""The verb on photographs taken between two lamps: crest."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from edgetest.errors import UnusableInput
from edgetest.estimate import shown
from edgetest.verbs.given import PathLike, path_of

if TYPE_CHECKING:
    from edgetest.study.photos.crests import CrestResult
    from edgetest.study.photos.photo_result import PhotoResult

LAMPS = ("light", "angle_deg", "turned_deg", "distance_mm", "lens_distance_mm")


def crest(
    picture: PathLike,
    needle: PathLike | None = None,
    *,
    needle_diameter_mm: float | None = None,
    needle_tolerance_um: float = 2.0,
    um_per_px: float | None = None,
    relative_u: float = 0.0,
    lamps: Mapping[str, Any] | None = None,
    on_axis: Mapping[str, Any] | None = None,
) -> CrestResult:
    """Measure the crest of a worn edge between two lamps that lie across it.

    Parameters
    ----------
    picture : path-like
        The edge: two bright lines, one on each side of its crest.
    needle : path-like, optional
        A needle or pin in the same light and focus; without it the result is refused.
    needle_diameter_mm, needle_tolerance_um : float
        Its thickness, and how far that may be off.
    um_per_px, relative_u : float, optional
        Scale and its relative standard uncertainty, for the width of a flat; a round crest's
        radius needs none.
    lamps : mapping, optional
        What is noted of them: "light" ("two sectors" or "ring"), "angle_deg" from the axis of
        the lens, "turned_deg" off 'straight across the edge', "distance_mm" and
        "lens_distance_mm" from the edge.
    on_axis : mapping, optional
        The same place in light through the lens: {"picture": "front.jpg", "lens_na": 0.10}.

    Returns
    -------
    CrestResult
        A picture that cannot be measured is a result too: its status is "refused".

    Raises
    ------
    UnusableInput
        If there is no such file, or needle or lamps cannot be such.

    Examples
    --------
    >>> import edgetest as et
    >>> photos = et.sample_run("billhook_temper_study") / "photos"
    >>> found = et.crest(photos / "H1_roll1_100_020.jpg")  # light through the lens: one band
    >>> found.measured
    False
    """
    from edgetest.photo.glints.needle_light import Needle, SideSetup
    from edgetest.study.photos.crests import measure_crest, side_light
    from edgetest.study.photos.photo_scales import existing

    told = _known(lamps, LAMPS, "lamps", '{"angle_deg": 60, "lens_distance_mm": 80}')
    setup = SideSetup(
        told.get("light", "two sectors"),
        um_per_px,
        relative_u,
        told.get("angle_deg"),
        told.get("turned_deg", 5.0),
        told.get("lens_distance_mm"),
        told.get("distance_mm"),
    )
    pin = None
    if needle_diameter_mm is not None:
        pin = Needle(1000 * needle_diameter_mm, needle_tolerance_um)
    place = None if needle is None else existing(path_of(needle, "a picture"))
    through = _on_axis(on_axis, um_per_px, relative_u)
    return measure_crest(
        existing(path_of(picture, "a picture")), side_light(place, pin, setup), through
    )


def _on_axis(
    given: Mapping[str, Any] | None, um_per_px: float | None, relative_u: float
) -> PhotoResult | None:
    """The on-axis picture, measured."""
    from edgetest.photo.apex.apex_light import declared_light
    from edgetest.study.photos.measure_photos import Task, measure_photo
    from edgetest.study.photos.photo_scales import existing

    keys = ("picture", "lens_na", "lamp_na")
    told = _known(given, keys, "on_axis", '{"picture": "front.jpg", "lens_na": 0.10}')
    if "picture" not in told:
        return None
    light = declared_light("on-axis", told.get("lens_na"), told.get("lamp_na"), where="on_axis")
    path = existing(path_of(told["picture"], "a picture"))
    return measure_photo(Task(path, um_per_px, relative_u, lighting=light))


def _known(
    given: Mapping[str, Any] | None, keys: tuple[str, ...], where: str, example: str
) -> Mapping[str, Any]:
    """A mapping of known keys.

    Raises
    ------
    UnusableInput
    """
    if given is None:
        return {}
    if not isinstance(given, Mapping) or not set(given) <= set(keys):
        raise UnusableInput(f"{shown(given)} is not known", where, f"write {example}")
    return given
