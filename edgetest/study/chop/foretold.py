"""What geometry says of a tool is told once: elements and draws take a second a tool."""

from edgetest.chop.predict import predict
from edgetest.store.kept_answers import worked_out_once


def foretold(shape, hold, *, rng, level=0.95):
    """`edgetest.chop.predict.predict`, to the same digits, kept from start to start.

    Parameters
    ----------
    shape : Outline
    hold : Hold
    rng : numpy.random.Generator
        Left as the draws leave it, whether they were made now or before.
    level : float

    Returns
    -------
    Prediction
    """

    def drawn():
        return predict(shape, hold, rng=rng, level=level), rng.bit_generator.state

    parts = shape, hold, rng.bit_generator.state, level
    found, rng.bit_generator.state = worked_out_once("foretold", parts, drawn)
    return found
