"""Probabilities and doubts of this room as people and JSON carry them."""

from edgetest.doubts import doubt


def chance(probability):
    """A probability in words that claim no more digits than it has."""
    if probability > 0.99:
        return "over 99 %"
    if probability < 0.01:
        return "under 1 %"
    return f"{100 * probability:.0f} %"


def reason(code):
    """A reason of this room as the pair that JSON and the document carry."""
    return doubt(code).to_warning()
