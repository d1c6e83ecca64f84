"""How round is the worn edge, seen between two lamps that lie across it?

Open `crest_size` first: a crest glints in two lines, one for either lamp, and a needle of known
thickness in the same light turns their distance into a radius. `find_pair` finds the two lines,
`fit_pair` places them, `pair_spacing` says how far apart they are and how well that is known,
`needle_light` what a needle tells of the light.
"""
