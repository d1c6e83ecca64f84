"""What the tests of the photographs share."""

from edgetest.photo.linear_light import linear_light


def linear(grey):
    """The light of an array that is known to hold linear light from 0 to 1."""
    return linear_light(grey, "linear")
