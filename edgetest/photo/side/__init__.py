"""Which chips and rolls does the edge have, seen from the side against the light?

Open `side_view` first: `edge_outline` finds the silhouette, `boundary` its edge below one
pixel, `trace` parts damage from the smooth line, `patch` sizes small damage.
`follow` matches the damage of one edge before and after: `sound_line` is the grinding that tells
an edge, `laying` tries it at every shift, `constellation` asks the old chips, `laid_together`
accepts or refuses.
"""
