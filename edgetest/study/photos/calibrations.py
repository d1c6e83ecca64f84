"""The shop's calibrations: scales kept by name in the workspace, for any study to use."""

from datetime import date
from pathlib import Path

from edgetest.doubts import placed
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import declared_light
from edgetest.photo.scale.kept_scale import KeptScale, calibration_from
from edgetest.store.checking import read_toml
from edgetest.store.files import locked
from edgetest.store.images import UnreadablePicture, read_picture
from edgetest.store.toml_edit import change_toml

CALIBRATIONS_FILE = "calibrations.toml"
LOOKED_AT = 3  # photographs whose size is held against a calibration


def read_calibrations(root):
    """Every calibration of a workspace by its name.

    Raises
    ------
    UnusableInput
        If the file has a fault.
    """
    path = Path(root) / CALIBRATIONS_FILE
    if not path.is_file():
        return {}
    found = {}
    for name, values in read_toml(path).items():
        if not isinstance(values, dict):
            raise UnusableInput(
                "is not a table", f"{CALIBRATIONS_FILE}, {name}", f"write [{name}] and its keys"
            )
        found[name] = KeptScale.from_dict({"name": name, **values})
    return found


def keep_calibration(root, scale, name, picture_path, *, taken_on=None, **setup):
    """Keep a measured scale under a name; one of the same name is replaced.

    Parameters
    ----------
    root : str or Path
        The workspace.
    scale : Scale
    name : str
        Of the set-up, such as "stereo, zoom 4".
    picture_path : str or Path
        The photograph that the scale was taken from; its size belongs to the calibration.
    taken_on : date, optional
        Today, if not given.
    **setup
        camera, objective, zoom, distance_mm, light, lens_na, lamp_na.

    Returns
    -------
    KeptScale

    Raises
    ------
    UnusableInput
        If it has no name, or its light cannot be one.
    """
    name = " ".join(name.split())
    if not name:
        raise UnusableInput("a calibration needs a name", "calibration", "name the set-up")
    lit = (setup.get(key) for key in ("light", "lens_na", "lamp_na"))
    declared_light(*lit, where="calibration, light")
    picture = read_picture(picture_path)
    made = calibration_from(
        scale, name, picture.width_px, picture.height_px, taken_on or date.today(), **setup
    )
    values = {key: value for key, value in made.to_dict().items() if value not in (None, "")}
    values.pop("name")
    with locked(root):
        change_toml(Path(root) / CALIBRATIONS_FILE, lambda kept: kept | {name: values})
    return made


def rule_of(calibration):
    """What study.toml says of a scale that comes from a calibration."""
    lit = {name: getattr(calibration, name) for name in ("light", "lens_na", "lamp_na")}
    return {
        "um_per_px": calibration.um_per_px,
        "relative_u": calibration.relative_u,
        "size_px": [calibration.width_px, calibration.height_px],
        **{name: value for name, value in lit.items() if value},
        **({"tone": list(calibration.tone)} if calibration.tone else {}),
        "note": f"calibration {calibration.name}, taken {calibration.taken_on.isoformat()}",
    }


def misfits(calibration, paths, *, today=None):
    """Where a calibration does not fit the first of some photographs, as doubts, each code once."""
    found = {}
    for path in list(paths)[:LOOKED_AT]:
        try:
            picture = read_picture(path)
        except UnreadablePicture:
            continue  # said where it is measured
        doubts = calibration.doubts(
            picture.width_px, picture.height_px, taken_on=today or date.today()
        )
        found.update({one.code: one for one in placed(doubts, file=Path(path).name)})
    return tuple(found.values())
