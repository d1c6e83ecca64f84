"""When was a picture taken, by what the camera wrote into its file?"""

import io
import re
import warnings
from contextlib import suppress
from datetime import datetime, timedelta

from edgetest.store.heic import is_heic, open_by_pillow

# EXIF 2.32 (CIPA DC-008): the moment of the exposure, its parts of a second, its time zone; the
# moment at which the file was changed stands in the first directory.
EXPOSED, CHANGED = 0x9003, 0x0132
PARTS, PARTS_CHANGED = 0x9291, 0x9290
ZONE, ZONE_CHANGED = 0x9011, 0x9010
DIRECTORY = 0x8769
_DIGITS = re.compile(r"(\d+)")


def picture_time(data):
    """When a picture was taken, from its EXIF record; parts of a second and the zone where told.

    Parameters
    ----------
    data : bytes
        The file.

    Returns
    -------
    datetime or None
        In UTC where the camera wrote its zone, else as its clock stood; without a zone of its
        own either way. None where the file says nothing.
    """
    from PIL import Image

    with warnings.catch_warnings(), suppress(Exception):  # a damaged record tells no time
        warnings.simplefilter("ignore")
        if is_heic(data):
            open_by_pillow()
        with Image.open(io.BytesIO(data)) as image:
            first = image.getexif()
            told = first.get_ifd(DIRECTORY)
        return _moment(told.get(EXPOSED), told.get(PARTS), told.get(ZONE)) or _moment(
            first.get(CHANGED), told.get(PARTS_CHANGED), told.get(ZONE_CHANGED)
        )
    return None


def _moment(text, parts, zone):
    """A moment of EXIF as a datetime; None where it is none."""
    try:
        moment = datetime.strptime(str(text).strip("\0 "), "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return None
    digits = str(parts or "").strip("\0 ")
    if digits.isdigit():
        moment += timedelta(seconds=float(f"0.{digits}"))
    apart = re.fullmatch(r"([+-])(\d\d):(\d\d)", str(zone or "").strip("\0 "))
    if apart:
        east = timedelta(hours=int(apart[2]), minutes=int(apart[3]))
        moment -= east if apart[1] == "+" else -east
    return moment


def name_order(name):
    """A file's name as a key to sort by: 9 stands before 10."""
    return [int(part) if part.isdigit() else part.casefold() for part in _DIGITS.split(name)]
