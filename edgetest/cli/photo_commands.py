"""Commands on photographs besides measure: scale, stack, survey; what all of them ask."""

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.cli.tone_command import tone_given
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import DIRECTIONS, NOT_NOTED, declared_light
from edgetest.study.words import counted


@dataclass(frozen=True)
class KnownScale:
    """A scale that is given as a number."""

    um_per_px: float | None = root.option("Scale, µm per pixel.", float)
    relative_u: float = root.option(
        "Its relative uncertainty, as a share: 0.01 is 1 %.",
        root.SHARE,
        name="--scale-u",
        default=0.0,
        show_default=False,
    )

    def wanted(self):
        """The scale and its uncertainty, for a command that cannot do without."""
        if self.um_per_px is None or not self.um_per_px > 0:
            raise UnusableInput(
                "the scale is missing", "--um-per-px", "give µm per pixel, above zero"
            )
        return self.um_per_px, self.relative_u


@dataclass(frozen=True)
class KnownLight:
    """The light that a person says the set-up has."""

    light: str | None = root.option(
        "Where the light comes from; on-axis is through the lens.", click.Choice(DIRECTIONS)
    )
    lens_na: float | None = root.option(
        "Aperture of the lens: the number behind NA on the objective.", float
    )
    lamp_na: float | None = root.option("Aperture of the light, if it is another.", float)

    def declared(self, else_=NOT_NOTED):
        """The light as it is declared; the other one where nothing is."""
        given = (self.light, self.lens_na, self.lamp_na)
        if given == (None, None, None):
            return else_
        return declared_light(*given, where="--light")

    def refuse_beside_a_study(self):
        """Refuse a light that a study declares itself."""
        from edgetest.study.photos.photo_scales import LIGHT_OF_A_STUDY

        if (self.light, self.lens_na, self.lamp_na) != (None, None, None):
            raise LIGHT_OF_A_STUDY


@dataclass(frozen=True)
class Optics(KnownScale):
    """Where the scale and the blur of photographs come from."""

    um_per_px: float | None = root.option("Scale of the photographs, µm per pixel.", float)
    ruling: Path | None = root.option("Take it from this micrometer.", root.PATH)
    pitch_um: float = root.option(
        "Distance between the micrometer's lines.", float, default=10.0, show_default=False
    )
    same_focus: bool = root.option("The micrometer's blur holds for them too.", is_flag=True)
    calibration: str | None = root.option("Take the scale from a kept calibration of this name.")
    calibrations_in: Path = root.option(
        "Folder of the calibrations; default: this one.",
        root.PATH,
        default=Path(),
        show_default=False,
    )
    blur_px: float | None = root.option(
        "Blur known from elsewhere, for narrow bands.", root.ABOVE_ZERO
    )

    tone: str | None = root.option(
        "Tone curve of the camera: srgb, linear, a gamma, or the file `edgetest tone --json` wrote."
    )

    def found(self):
        """These options with the scale and tone found, the size of picture, and the light."""
        from edgetest.photo.scale.kept_scale import named
        from edgetest.study.photos.calibrations import read_calibrations
        from edgetest.study.photos.photo_scales import scale_of_ruling

        if self.calibration is not None:
            kept = named(read_calibrations(self.calibrations_in).values(), self.calibration)
            scale, size_px = kept.scale(), (kept.width_px, kept.height_px)
            light, tone = kept.lighting(), kept.tone
        elif self.ruling is not None:
            scale, size_px, light = scale_of_ruling(self.ruling, self.pitch_um), None, NOT_NOTED
            tone = None
        else:
            return replace(self, tone=tone_given(self.tone)), None, NOT_NOTED
        blur_px = scale.blur_px if self.same_focus and self.blur_px is None else self.blur_px
        known = replace(
            self, um_per_px=scale.um_per_px, relative_u=scale.relative_u, blur_px=blur_px,
            tone=tone_given(self.tone) or tone,
        )  # fmt: skip
        return known, size_px, light


def each_line(results):
    """One line a photograph, then each doubt once, with how many photographs it is about."""
    texts: Counter[str] = Counter()
    for result in results:
        yield f"{result.photo}: {result.summary()}"
        texts.update(one["text"] for one in result.to_dict()["doubts"])
    yield from (f"{counted(times, 'photograph')}: {text}" for text, times in texts.items())


def lines_of(results):
    """The lines of `each_line` as one text."""
    return "\n".join(each_line(results))


def with_doubts(summary, doubts):
    """What was found, then each doubt once, behind the photographs that it is about."""
    about: dict[str, dict[str, None]] = {}
    for one in doubts:
        about.setdefault(one.text, {})[one.where.file or ""] = None
    lines = [f"{', '.join(filter(None, files))}: {text}".removeprefix(": ")
             for text, files in about.items()]  # fmt: skip
    return "\n".join((summary, *lines))


def scale_possible(um_per_px):
    """Refuse a scale that is given and cannot be one."""
    if um_per_px is not None and not 0 < um_per_px < float("inf"):
        raise UnusableInput(
            f"{um_per_px:g} is no scale", "--um-per-px", "give µm per pixel, above zero"
        )


@dataclass(frozen=True)
class KnownLength:
    """What of known length stands in a picture."""

    pitch_um: float | None = root.option("Distance between the micrometer's lines, µm.", float)
    wire_um: float | None = root.option("Diameter of a wire or drill shank lying there, µm.", float)
    wire_u_um: float = root.option(
        "Its standard uncertainty, µm.", float, default=0.0, show_default=False
    )
    marks: tuple | None = root.option(
        "Two marks, pixels.", float, nargs=4, metavar="ROW COL ROW COL"
    )
    bar: tuple | None = root.option(
        "Ends of a burnt-in scale bar, pixels.", float, nargs=4, metavar="ROW COL ROW COL"
    )
    distance_um: float | None = root.option("Distance of the marks, length of the bar, µm.", float)

    def scale_of(self, photo):
        """The scale of a photograph by it."""
        from edgetest.study.photos.photo_scales import (
            scale_of_marks,
            scale_of_ruling,
            scale_of_wire,
        )

        if self.pitch_um is not None:
            return scale_of_ruling(photo, self.pitch_um)
        if self.wire_um is not None:
            return scale_of_wire(photo, self.wire_um, self.wire_u_um)
        ends = self.marks or self.bar
        if ends and self.distance_um is not None:
            return scale_of_marks(photo, ends, self.distance_um, bar=bool(self.bar))
        raise UnusableInput(
            "the distance between the lines is missing",
            where="edgetest scale",
            mend="give --pitch-um 10, or --wire-um, or --marks or --bar with --distance-um",
        )


@root.command(
    "scale", "edgetest scale photos/micrometer.jpg --pitch-um 10 --keep-as 'scope, zoom 4'"
)
@root.path_argument("photo")
@root.takes(known=KnownLength, lit=KnownLight)
@click.option("--keep-as", help="Keep it as a calibration of this name.")
@click.option("--calibrations-in", type=root.PATH, default=Path(),
              help="Folder of the calibrations; default: this one.")  # fmt: skip
@root.as_json
def scale_command(photo, known, lit, keep_as, calibrations_in, json_):
    """Micrometres per pixel: from a stage micrometer, a wire, two marks or a scale bar."""
    found, kept = known.scale_of(photo), ""
    if keep_as is not None:
        from edgetest.study.photos.calibrations import CALIBRATIONS_FILE, keep_calibration

        keep_calibration(
            calibrations_in, found, keep_as, photo,
            light=lit.light or "", lens_na=lit.lens_na, lamp_na=lit.lamp_na,
        )  # fmt: skip
        kept = (
            f'Kept as "{keep_as}" in {calibrations_in / CALIBRATIONS_FILE}: --calibration names it.'
        )
    told = "\n".join(filter(None, (with_doubts(found.summary(), found.doubts), kept)))
    root.say(found.to_dict(), told, json_)


@root.command("stack", "edgetest stack low.jpg middle.jpg high.jpg --um-per-px 0.4 --to sharp.png")
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(known=KnownScale, lit=KnownLight)
@click.option("--to", "target", type=root.PATH, help="Keep the sharp picture.")
@root.as_json
def stack_command(photos, known, lit, target, json_):
    """Fuse photographs of one place at different heights into a sharp one, and measure it."""
    from edgetest.report.figures.overlay_files import write_grey
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.surveys import measure_stack

    paths = [existing(path) for path in photos]
    result, fused = measure_stack(paths, *known.wanted(), lighting=lit.declared())
    if target is not None:
        write_grey(fused, target)
    text = with_doubts(f"{result.photo}: {result.summary()}", result.measurement.doubts)
    root.say(result.to_dict(), text, json_)


@root.command(
    "survey", "edgetest survey heel.jpg middle.jpg tip.jpg --um-per-px 0.4 --to widths.csv"
)
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(known=KnownScale, lit=KnownLight)
@click.option("--to", "target", type=root.PATH, help="CSV of width by position.")
@root.as_json
def survey_command(photos, known, lit, target, json_):
    """Join overlapping photographs along an edge, heel to tip, and give the width along it."""
    from edgetest.store.files import write_atomic
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.surveys import survey

    paths = [existing(path) for path in photos]
    progress = None if json_ else root.Bar("measuring")
    found = survey(paths, *known.wanted(), lighting=lit.declared(), progress=progress)
    if target is not None:
        write_atomic(target, found.strip.to_frame().round(4).to_csv(index=False))
    root.say(found.to_dict(), with_doubts(found.summary(), found.doubts), json_)
