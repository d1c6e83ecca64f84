"""Pieces as a chop log notes them, for tests of what their own words and numbers tell."""

from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow


def noted_piece(line=7, *, blade="T1", kind="billet", **more):
    """A piece that took 12 strokes, with what else is noted of it."""
    return ChopRow(line, blade, kind, chops=parse_strokes("12"), **more)
