"""The doubts that chop results carry, as JSON and the document carry them."""

from edgetest.doubts import doubt


def caution(code):
    """The code and its sentence, as JSON and the document carry them."""
    return doubt(code).to_warning()


def cautions(codes):
    """A list of codes as JSON carries it."""
    return [caution(code) for code in codes]
