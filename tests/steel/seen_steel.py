"""Short ways to write down what was seen of an invented piece."""

from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, PieceSeen, SteelSeen, TemperSeen


def files(low, high, where="not_stated"):
    """A bracket of files."""
    return HardnessSeen(low, high, where)


def number(value, where="not_stated", u=1.0):
    """A Rockwell reading."""
    return HardnessSeen(value, value, where, by_files=False, u_hrc=u)


SOFT, HARD = files(None, 40, "below"), files(60, 65)


def heat(*readings, **of):
    """A heat of piece A, from oil."""
    return HeatSeen(**{"piece": "A", "hardness": readings, "medium": "oil", **of})


def temper(reading, at, **of):
    """A temper with its reading."""
    return TemperSeen(at, hardness=(reading,), **of)


def seen(*heats, trials=(), use=None, **piece):
    """All that was seen of piece A."""
    return SteelSeen(use, (PieceSeen("A", **piece),), heats, tuple(trials))
