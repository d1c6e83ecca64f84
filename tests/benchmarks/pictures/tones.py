"""Tone curves: which value does a camera write for a share of full scale of light?

Characteristic curves as Hurter and Driffield drew them (toe, straight line, shoulder), the sRGB
curve of IEC 61966-2-1, and pure powers. Every curve takes linear light from 0 to ``top`` and gives
an encoded value from 0 to 1, and rises all the way.
"""

import numpy as np

# Share of white where a soft shoulder begins (invented; common practice bends from a half upward).
KNEE = 0.6
# Half-way point of an S-shaped curve, as a share of white (invented).
MIDDLE = 0.55


def srgb(linear):
    """Encoded value of linear light by the sRGB curve (IEC 61966-2-1)."""
    linear = np.clip(linear, 0.0, 1.0)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


def power(linear, gamma):
    """Encoded value of linear light by a pure power."""
    return np.clip(linear, 0.0, 1.0) ** (1.0 / gamma)


def filmic(linear, slope):
    """A log-logistic toe and shoulder, then the sRGB curve.

    Against the logarithm of light the log-logistic is the plain S of a characteristic curve;
    ``slope`` above 1 sinks the shadows into a toe.
    """
    risen = np.clip(linear, 0.0, 1.0) ** slope
    return srgb((1.0 + MIDDLE**slope) * risen / (risen + MIDDLE**slope))


def shouldered(linear, headroom):
    """Straight up to the knee, then an exponential approach to white, then the sRGB curve.

    The sensor holds ``headroom`` times the light of white, so light above white is pressed
    together, not cut off.
    """
    linear = np.clip(linear, 0.0, headroom)
    room = 1.0 - KNEE
    over = np.maximum(linear - KNEE, 0.0)
    return srgb(np.where(linear < KNEE, linear, KNEE + room * (1.0 - np.exp(-over / room))))


CURVES = {
    "sRGB": lambda linear, _: srgb(linear),
    "gamma": power,
    "linear": lambda linear, _: np.clip(linear, 0.0, 1.0),
    "filmic": filmic,
    "shouldered": shouldered,
}


def top(name, parameter):
    """Most light that a camera with this curve still tells apart, white = 1."""
    return float(parameter) if name == "shouldered" else 1.0


def encoded(linear, name, parameter):
    """Encoded value (0 to 1) of linear light (white = 1) by the curve of that name."""
    return CURVES[name](np.asarray(linear, float), parameter)


def told(name, parameter):
    """The curve in words, for the record of a picture."""
    return name if name in ("sRGB", "linear") else f"{name} {parameter:g}"
