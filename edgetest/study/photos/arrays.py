"""A picture held as an array, measured as a study's files are."""

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light


def measure_array(
    pixels, um_per_px, *, tone="unknown", relative_u=0.0, blur_px=None, region=None, struck_out=()
):
    """Edge width in an apex-view picture that is held as an array.

    Parameters
    ----------
    pixels : array_like, shape (rows, cols), (rows, cols, 3) or (rows, cols, 4)
        Grey, RGB or RGBA: uint8, uint16 or floats from 0 to 1.
    um_per_px : float
        Scale.
    tone : {"unknown", "srgb", "linear"}, float, array_like or callable
        Curve on which the values are stored, as for `linear_light`. "unknown" widens the
        interval and leaves the doubt `tone_unknown`, as a file without a tone curve does.
    relative_u : float
        Relative standard uncertainty of the scale.
    blur_px : float, optional
        Blur (standard deviation, pixels) known from elsewhere at the same focus.
    region : (row, column, row, column), optional
        Part of the picture to look at.
    struck_out : sequence of (from_um, to_um)
        Stretches along the edge that do not count.

    Returns
    -------
    ApexMeasurement
        A picture that cannot be measured is a result with status "refused".

    Raises
    ------
    UnusableInput
        If the array is no picture, or the tone no curve.
    """
    return measure_apex(
        linear_light(pixels, tone),
        um_per_px,
        scale_relative_u=relative_u,
        region=region,
        blur_px=blur_px,
        excluded=struck_out,
    )
