"""Figures: each takes a result and draws it on Axes; none works anything out.

`wear_figures` and `comparison_figures` draw cut tests, `chop_figures` and `swing_figures`
choppers,
`steel_figures` verdicts, `photo_figures` and `overlay` photographs; `plot_style` holds the look.
"""
