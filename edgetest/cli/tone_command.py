"""The command on grey steps: the tone curve of a camera."""

import json
from dataclasses import dataclass
from pathlib import Path

import click

from edgetest.cli import root
from edgetest.errors import UnusableInput


def tone_given(text):
    """The tone curve that an option names, as a picture is read with, or None.

    Raises
    ------
    UnusableInput
        If it is neither a curve, a gamma nor a file of one.
    """
    from edgetest.photo.linear_light import tone_curve

    if text is None or text in ("srgb", "linear"):
        return text
    path = Path(text)
    if path.is_file():
        try:
            curve = tuple(json.loads(path.read_text(encoding="utf-8"))["curve"])
        except (ValueError, KeyError, TypeError):
            raise UnusableInput(
                "holds no tone curve", str(path), "write one with `edgetest tone … --json`"
            ) from None
        tone_curve(curve)
        return curve
    try:
        gamma = float(text)
    except ValueError:
        gamma = float("nan")
    if not 0 < gamma < float("inf"):
        mend = "give srgb, linear, a gamma such as 2.2, or the file `edgetest tone --json` wrote"
        raise UnusableInput(f'"{text}" is no tone curve', "--tone", mend)
    return gamma


@dataclass(frozen=True)
class KnownSteps:
    """What is known of the light of grey steps."""

    light: str | None = root.option("Relative light of each step, such as 0.9,0.45,0.22,0.11.")
    density: str | None = root.option("Instead of it, the density of each patch of a wedge.")
    seconds: str | None = root.option("Or by the shutter times of pictures, such as 1/60,1/30.")

    def numbers(self):
        """The steps by what is known of them."""
        from edgetest.study.photos.tone_pictures import step_numbers

        ways = ("light", "density", "seconds")
        return {way: step_numbers(getattr(self, way), f"--{way}") for way in ways}


@root.command(
    "tone", "edgetest tone wedge.jpg --density 0.05,0.20,0.35,0.50,0.65,0.80,0.95,1.10 "
    "--keep-as 'scope, zoom 4'"
)  # fmt: skip
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(known=KnownSteps)
@click.option("--keep-as", help="Keep it with the calibration of this name.")
@click.option("--calibrations-in", type=root.PATH, default=Path(),
              help="Folder of the calibrations; default: this one.")  # fmt: skip
@click.option("--study", type=root.PATH, help="Put it beside the scale of this study.")
@click.option("--scale", "scale_name", default="", help="Name of that scale, where it has one.")
@root.as_json
def tone_command(photos, known, keep_as, calibrations_in, study, scale_name, json_):
    """On which curve the camera stores light: from a picture of grey steps.

    One picture of a row of patches that fills it; or one picture for each step, of one sheet of
    white paper under steady light, at different shutter times.
    """
    from edgetest.study.photos.tone_pictures import keep_tone, put_tone, tone_from_pictures

    found = tone_from_pictures(photos, **known.numbers())
    if keep_as is not None:
        keep_tone(calibrations_in, keep_as, found)
    if study is not None:
        put_tone(study, scale_name, found.curve)
    doubts = [one.text for one in found.doubts]
    root.say(found.to_dict(), "\n".join([f"{found.summary()}.", *doubts]), json_)
