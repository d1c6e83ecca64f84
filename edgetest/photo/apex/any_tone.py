"""One width from readings of a picture on several tone curves, where nobody said which is right."""

from dataclasses import replace

from edgetest.doubts import joined
from edgetest.photo.apex.apex_result import refused


def across_tones(readings, doubt_of_tone):
    """The first curve's measurement, its interval drawn out to hold what the others read.

    Parameters
    ----------
    readings : sequence of ApexMeasurement
        The same picture, undone by one curve each; the likeliest first.
    doubt_of_tone : Doubt
        Takes the place of `tone_unknown`.

    Returns
    -------
    ApexMeasurement
        The first that is measured, its `low` and `high` the lowest and highest of all; one
        that gives an upper limit only draws `low` down to 0. The first's refusal where none is
        measured; refused for the tone where only one is: nothing then bounds the interval.
    """
    seen = [one for one in readings if one.status == "measured"]
    if not seen:
        return readings[0]
    first = seen[0]
    if len(seen) == 1:
        return refused(
            doubt_of_tone, um_per_px=first.um_per_px, scale_relative_u=first.scale_relative_u
        )
    doubts = joined([one for one in first.doubts if one.code != "tone_unknown"], [doubt_of_tone])
    tops = [one.below_um if one.width_um is None else one.width_um.high for one in seen]
    if first.width_um is None:
        return replace(first, below_um=max(tops), doubts=doubts)
    low = min(0.0 if one.width_um is None else one.width_um.low for one in seen)
    width = replace(first.width_um, low=low, high=max(tops))
    return replace(first, width_um=width, width_u_um=(width.high - width.low) / 3.92, doubts=doubts)
