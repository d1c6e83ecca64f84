"""What does a photograph say about an edge?

`apex` measures the width of a worn edge, `glints` the crest between two lamps, `side` the damage
along it, `scale` finds the µm of a pixel, `render` makes pictures of known truth. Image arrays
are indexed (row, column); grey is linear light, 0 to 1.
"""
