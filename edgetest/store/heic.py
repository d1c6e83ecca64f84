"""How is a HEIC picture, as many phones make it, turned into stored values?

The library turns it upright by the properties of the file (irot and imir, ISO/IEC 23008-12),
which stand above the orientation in its EXIF.
"""

from functools import lru_cache

import numpy as np

CURVES = {8: "linear", 13: "srgb"}  # transfer characteristics of ITU-T H.273, table 3


def is_heic(data):
    """Whether bytes begin as a HEIC or HEIF picture does."""
    if data[4:8] != b"ftyp":
        return False
    import pillow_heif

    return bool(pillow_heif.is_supported(data[:64]))


@lru_cache(maxsize=1)
def open_by_pillow():
    """Let Pillow read the header of such a file."""
    import pillow_heif

    pillow_heif.register_heif_opener()


def heic_curve(info):
    """The tone curve that the file names in its colour properties, or None."""
    named = (info.get("nclx_profile") or {}).get("transfer_characteristics", 0)
    return CURVES.get(named)


def stored_of_heic(data):
    """Stored values of a HEIC picture, upright.

    Parameters
    ----------
    data : bytes

    Returns
    -------
    ndarray, shape (rows, cols, 3) BGR or (rows, cols)
        uint8; of more than 8 bits uint16, spread so that the largest value is 65535.

    Raises
    ------
    ValueError, EOFError, SyntaxError, RuntimeError, OSError
        If it breaks off or is damaged.
    """
    import pillow_heif

    found = pillow_heif.open_heif(data, convert_hdr_to_8bit=False)
    depth = int(found.info.get("bit_depth") or 8)
    stored = np.array(found)
    if stored.dtype == np.uint16:
        most = 2**depth - 1
        spread = np.rint(np.arange(most + 1) * (65535 / most)).astype(np.uint16)
        stored = spread[stored >> (16 - depth)]
    if stored.ndim == 3 and stored.shape[2] < 3:  # grey, or grey with transparency
        stored = stored[..., 0]
    return np.ascontiguousarray(stored if stored.ndim == 2 else stored[..., 2::-1])
