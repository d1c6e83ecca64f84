"""A scale kept with the set-up it was taken on, and whether it fits a picture."""

from dataclasses import asdict, dataclass, fields
from datetime import date

from edgetest.doubts import Where, doubt
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import declared_light
from edgetest.photo.linear_light import tone_curve
from edgetest.photo.scale.ruling_scale import Scale, checked, scale_of

STALE_DAYS = 365


@dataclass(frozen=True)
class KeptScale:
    """Scale of one set-up: camera, objective, zoom, distance, picture size and date.

    `width_px` and `height_px` are of the picture the scale was taken from; `objective`,
    `zoom` and `distance_mm` are empty where the set-up has none, `light` and the apertures
    where nobody noted them. `tone` is the camera's curve, light at evenly spaced stored values.
    """

    name: str
    um_per_px: float
    relative_u: float
    width_px: int
    height_px: int
    taken_on: date
    camera: str = ""
    objective: str = ""
    zoom: str = ""
    distance_mm: float | None = None
    blur_px: float | None = None
    method: str = "ruling"
    light: str = ""
    lens_na: float | None = None
    lamp_na: float | None = None
    tone: tuple[float, ...] | None = None

    def to_dict(self):
        """Plain values for a file."""
        return {**asdict(self), "taken_on": self.taken_on.isoformat()}

    @classmethod
    def from_dict(cls, values):
        """KeptScale from plain values, checked.

        Raises
        ------
        UnusableInput
            If a value is missing, not known or out of range; `where` names it.
        """
        known = {part.name for part in fields(cls)}
        for key in values:
            if key not in known:
                mend = f"known are {', '.join(sorted(known))}"
                raise UnusableInput(f"{key!r} is not known", where="calibration", mend=mend)
        for key in ("name", "um_per_px", "relative_u", "width_px", "height_px", "taken_on"):
            if values.get(key) is None:
                raise UnusableInput("is missing", where=f"calibration, {key}", mend="give it")
        taken = values["taken_on"]
        try:
            taken = taken if isinstance(taken, date) else date.fromisoformat(taken)
        except (TypeError, ValueError):
            raise UnusableInput(
                f"{taken!r} is not a date", where="calibration, taken_on", mend="write 2026-03-31"
            ) from None
        for key in ("um_per_px", "width_px", "height_px"):
            checked(values[key], f"calibration, {key}", "")
        if not 0 <= values["relative_u"] < 0.5:
            what = f"{values['relative_u']:g} is not between 0 and 0.5"
            where, mend = "calibration, relative_u", "give 1 % as 0.01"
            raise UnusableInput(what, where=where, mend=mend)
        lit = (values.get(key) for key in ("light", "lens_na", "lamp_na"))
        declared_light(*lit, where="calibration, light")
        tone = values.get("tone")
        tone = tuple(tone) if isinstance(tone, list) else tone
        tone_curve("unknown" if tone is None else tone)
        return cls(**{**values, "taken_on": taken, "tone": tone})

    def scale(self):
        """The scale that the calibration holds."""
        return scale_of(self.um_per_px, self.relative_u, "calibration", blur_px=self.blur_px)

    def lighting(self):
        """The light of the set-up, as it was declared."""
        return declared_light(self.light, self.lens_na, self.lamp_na)

    def doubts(self, width_px, height_px, *, taken_on=None, camera="", objective="", zoom=""):
        """Doubts where a picture does not fit this calibration.

        Parameters
        ----------
        width_px, height_px : int
            Size of the picture; turned by a quarter it is the same size.
        taken_on : datetime.date, optional
            When the picture was taken.
        camera, objective, zoom : str
            What the picture's file says; empty where it says nothing.

        Returns
        -------
        tuple of Doubt
        """
        found = []
        if not same_size((width_px, height_px), (self.width_px, self.height_px)):
            found.append(doubt("size_mismatch", where=Where(value=f"{width_px} x {height_px}")))
        said = ((camera, self.camera), (objective, self.objective), (zoom, self.zoom))
        if any(a and b and a.casefold().strip() != b.casefold().strip() for a, b in said):
            found.append(doubt("other_setup"))
        if taken_on is not None:
            days = (taken_on - self.taken_on).days
            if days > STALE_DAYS:
                found.append(doubt("stale_calibration", where=Where(value=days)))
            if days < 0:
                found.append(doubt("taken_before", where=Where(value=days)))
        return tuple(found)


def same_size(one_px, other_px):
    """Whether two pictures are of one size; turned by a quarter it is the same."""
    return sorted(one_px) == sorted(other_px)


def calibration_from(scale: Scale, name, width_px, height_px, taken_on, **setup):
    """Calibration that keeps a measured scale with its set-up (camera, objective, zoom, ...)."""
    return KeptScale(name, scale.um_per_px, scale.relative_u, width_px, height_px, taken_on,
                       blur_px=scale.blur_px, method=scale.method, **setup)  # fmt: skip


def named(calibrations, name):
    """The newest calibration of that name (any case).

    Raises
    ------
    UnusableInput
        If there is none; the names that are there are listed.
    """
    found = [one for one in calibrations if one.name.casefold() == name.casefold()]
    if not found:
        names = ", ".join(sorted({one.name for one in calibrations})) or "none yet"
        raise UnusableInput(
            f"no calibration is called {name!r}", where="calibration", mend=f"there are: {names}"
        )
    return max(found, key=lambda one: one.taken_on)
