"""A picture to be shown, not measured: in its colours, upright, small."""

from pathlib import Path

import numpy as np

from edgetest.store.images import (
    HEADER_FAULTS,
    UnreadablePicture,
    reduced_jpeg,
    scale_in_file,
    stored_grey,
)


def shown_jpeg(path, longest_px=1200, *, quality=88):
    """A picture as a small JPEG in its colours; nothing else that its file holds goes along.

    Parameters
    ----------
    path : path-like
    longest_px : int
        Longest side; a smaller picture is not enlarged.
    quality : int
        Of the JPEG, 1 to 95.

    Returns
    -------
    bytes

    Raises
    ------
    UnreadablePicture
        Not a picture, damaged, or more than 80 million pixels.
    """
    from PIL import Image, ImageOps

    scale_in_file(path)  # what is no picture, or too large a one, is refused unopened
    try:
        with Image.open(path) as opened:
            image = ImageOps.exif_transpose(opened)
            if image.mode[0] in "IF":  # more than eight bits of grey
                image = Image.fromarray(np.rint(255 * stored_grey(path)).astype(np.uint8))
            image = image.convert("RGB")
    except HEADER_FAULTS as error:
        what = "the picture breaks off or is damaged"
        raise UnreadablePicture("damaged_file", what, Path(path).name, "copy it again") from error
    return reduced_jpeg(np.asarray(image), longest_px, quality=quality)
