"""Which invented shops judge a chop test? Worlds of chopping made from notches, wood and hands.

They share no line with the program. ``shop_kinds.shop`` draws a shop of one kind, ``chopping.chop``
lets it work, ``long_run`` knows what its strokes come to in the long run, ``chop_folder`` writes
what its maker would have logged. Even seeds are for choosing, odd ones for judging.
All woods, tools and figures are invented or, where said, from memory.
"""
