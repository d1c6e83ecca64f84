"""A world of side views written from optics and blades alone, to judge what is measured of them.

It shares no line with the program's own made pictures. ``single_kinds.SINGLES`` and
``pair_kinds.PAIRS`` hold the kinds; even seeds are for tuning, odd ones for judging.
"""
