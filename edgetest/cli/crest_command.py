"""The command on photographs taken between two lamps: crest."""

from dataclasses import dataclass
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.photo_commands import KnownScale, lines_of, scale_possible
from edgetest.errors import UnusableInput


@dataclass(frozen=True)
class KnownNeedle:
    """The needle that lay in the same light and focus."""

    needle: Path | None = root.option("Photograph of a needle in the same light.", root.PATH)
    needle_diameter_mm: float | None = root.option("Its diameter by micrometer, mm.", float)
    needle_tolerance_um: float | None = root.option(
        "How far that may be off, µm; default: 2.", float
    )

    def known(self):
        """The needle's thickness, or None."""
        from edgetest.photo.glints.needle_light import TOLERANCE_UM, Needle

        if self.needle_diameter_mm is None:
            return None
        tolerance = self.needle_tolerance_um
        return Needle(
            1000 * self.needle_diameter_mm, TOLERANCE_UM if tolerance is None else tolerance
        )


@dataclass(frozen=True)
class KnownLamps:
    """Where the lamps and the lens are."""

    light: str = root.option(
        "Two sectors across the edge, or the open ring.",
        click.Choice(("two sectors", "ring")),
        default="two sectors",
        show_default=False,
    )
    lamp_angle: float | None = root.option(
        "Of the lamps from the axis of the lens, degrees.", float
    )
    turned_deg: float = root.option(
        "How far the lamps miss 'straight across the edge'; default: 5.",
        float,
        default=5.0,
        show_default=False,
    )
    lens_distance_mm: float | None = root.option("From the edge to the lens.", float)
    lamp_distance_mm: float | None = root.option("From the edge to the lamps.", float)

    def setup(self, scale):
        """Lamps, lens and scale together."""
        from edgetest.photo.glints.needle_light import SideSetup

        return SideSetup(
            self.light,
            scale.um_per_px,
            scale.relative_u,
            self.lamp_angle,
            self.turned_deg,
            self.lens_distance_mm,
            self.lamp_distance_mm,
        )


@dataclass(frozen=True)
class OnAxisPicture:
    """The same place in light through the lens."""

    on_axis: Path | None = root.option("The same place in on-axis light.", root.PATH)
    lens_na: float | None = root.option("Aperture of its lens: the number behind NA.", float)
    lamp_na: float | None = root.option("Aperture of its light, if it is another.", float)

    def measured(self, scale):
        """Its bright line, or None where there is no such picture."""
        from edgetest.photo.apex.apex_light import declared_light
        from edgetest.study.photos.measure_photos import Task, measure_photo
        from edgetest.study.photos.photo_scales import existing

        if self.on_axis is None:
            return None
        light = declared_light("on-axis", self.lens_na, self.lamp_na, where="--lens-na")
        task = Task(existing(self.on_axis), scale.um_per_px, scale.relative_u, lighting=light)
        return measure_photo(task)


@root.command(
    "crest", "edgetest crest side.jpg --needle needle.jpg --needle-diameter-mm 0.4 --lamp-angle 60"
)
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(pin=KnownNeedle, lamps=KnownLamps, scale=KnownScale, through=OnAxisPicture)
@root.as_json
def crest_command(photos, pin, lamps, scale, through, json_):
    """Size of a worn crest between two lamps that lie across the edge, by a needle beside it.

    Each side of the crest shows a bright line; a needle of known diameter in the same light and
    focus turns their distance into a radius. Of a study's folder: its photographs in such light,
    by the needle that its study.toml names. Two sectors of a ring that is taped over will do.
    """
    from edgetest.study.photos.crests import measure_crest, side_light
    from edgetest.study.photos.photo_scales import existing

    if len(photos) == 1 and (photos[0] / "study.toml").is_file():
        from edgetest.study.sources import open_source, sound
        from edgetest.study.wear.study_crests import study_crests

        results = study_crests(sound(open_source(photos[0])))
        root.say([result.to_dict() for result in results], lines_of(results), json_)
        return
    scale_possible(scale.um_per_px)
    if through.on_axis is not None and len(photos) != 1:
        raise UnusableInput(
            f"{len(photos)} photographs beside one on-axis picture", "--on-axis", "give one"
        )
    needle = None if pin.needle is None else existing(pin.needle)
    lit = side_light(needle, pin.known(), lamps.setup(scale))
    on_axis = through.measured(scale)
    results = [measure_crest(existing(photo), lit, on_axis) for photo in photos]
    root.say([result.to_dict() for result in results], lines_of(results), json_)
