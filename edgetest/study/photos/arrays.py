"""A picture held as an array, measured as a study's files are."""

from edgetest.photo.apex.apex_light import NOT_NOTED, in_light, wrong_light
from edgetest.photo.apex.apex_result import refused
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light
from edgetest.photo.scale.ruling_scale import scale_from_ruling
from edgetest.photo.side.side_view import measure_profile


def measure_array(
    pixels,
    um_per_px,
    *,
    tone="unknown",
    relative_u=0.0,
    blur_px=None,
    region=None,
    struck_out=(),
    lighting=NOT_NOTED,
):
    """Edge width in an apex-view picture that is held as an array.

    Parameters
    ----------
    pixels : array_like, shape (rows, cols), (rows, cols, 3) or (rows, cols, 4)
        Grey, RGB or RGBA: uint8, uint16 or floats from 0 to 1.
    um_per_px : float
        Scale.
    tone : {"unknown", "srgb", "linear"}, float, array_like or callable
        Curve on which the values are stored, as for `linear_light`. "unknown" takes
        sRGB, and the interval holds what every usual camera would make of it.
    relative_u : float
        Relative standard uncertainty of the scale.
    blur_px : float, optional
        Blur (standard deviation, pixels) known from elsewhere at the same focus.
    region : (row, column, row, column), optional
        Part of the picture to look at.
    struck_out : sequence of (from_um, to_um)
        Stretches along the edge that do not count.
    lighting : Lighting
        Of the set-up, for what the width says of the apex.

    Returns
    -------
    ApexMeasurement
        A picture that cannot be measured is a result with status "refused".

    Raises
    ------
    UnusableInput
        If the array is no picture, or the tone no curve.
    """
    unlit = wrong_light(lighting)
    if unlit is not None:
        return in_light(refused(unlit, um_per_px=um_per_px), lighting)
    found = measure_apex(
        linear_light(pixels, tone),
        um_per_px,
        scale_relative_u=relative_u,
        region=region,
        blur_px=blur_px,
        excluded=struck_out,
    )
    return in_light(found, lighting)


def profile_array(pixels, um_per_px, *, tone="unknown", relative_u=0.0, blade="dark", region=None):
    """Chips and rolls in a back-lit side view that is held as an array.

    Parameters
    ----------
    pixels, um_per_px, tone, relative_u, region
        As for `measure_array`. Chips and rolls are measured from the outline of their own
        picture, which another tone curve moves as a whole: no doubt is told.
    blade : {"dark", "bright"}
        Which side of the outline is the blade.

    Returns
    -------
    ProfileMeasurement

    Raises
    ------
    UnusableInput
        As `measure_array`.
    """
    light = linear_light(pixels, tone)
    return measure_profile(
        light, um_per_px, scale_relative_u=relative_u, blade=blade, region=region
    )


def scale_of_array(pixels, pitch_um, *, tone="unknown"):
    """Scale from a picture of a stage micrometer that is held as an array.

    Parameters
    ----------
    pixels, tone
        As for `measure_array`; the tone curve moves all lines alike.
    pitch_um : float
        Distance of neighbouring lines, µm.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        If the array is no picture, the tone no curve, or no ruling is found.
    """
    return scale_from_ruling(linear_light(pixels, tone), pitch_um)
