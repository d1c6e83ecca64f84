"""A second world of photographs, made from optics and geometry alone, to judge what is measured.

It shares no line with the program's own made pictures. ``kinds.KINDS`` holds the kinds of
picture, ``kinds.picture`` makes one from a seed: even seeds are for tuning, odd ones for judging.
"""
