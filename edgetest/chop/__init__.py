"""Choppers: wood, chops to sever, depth per chop, edge damage, and how a blade swings.

Along a tool x runs from the butt (the end of the handle) towards the tip, in mm.
"""
