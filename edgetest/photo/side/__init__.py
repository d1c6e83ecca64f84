"""Which chips and rolls does the edge have, seen from the side against the light?

Open `side_view` first: `edge_outline` finds the silhouette, `boundary` its edge below one
pixel, `trace` parts damage from the smooth line, `patch` sizes small damage; `follow` lays
the same edge before and after together.
"""
