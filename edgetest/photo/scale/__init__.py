"""How many µm is one pixel?

Open `ruling_scale` first: `ruling_lines` finds the lines of a stage micrometer,
`line_spacing` and `pitch` their period; `wire` takes a wire of known thickness, `kept_scale`
a calibration kept with its set-up.
"""
