"""Photographs of a study measured, corrected, scaled and kept.

Open `measure_photos` first, then `many_photos`; `photo_scales` finds the scale of each,
`corrections` what a person set right, `side_views` and `surveys` the other kinds of picture.
"""
