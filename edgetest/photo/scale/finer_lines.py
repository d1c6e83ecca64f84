"""Whether finer lines stand between the lines that were found, seen singly or only as a grey."""

from dataclasses import replace

import numpy as np

PARTS = (10, 5, 2)  # long marks stand every tenth or fifth line, or every second
CLOSEST_PX = 2.05  # finer spacings fall between the pixels
STANDS_OUT = 2.0  # over the neighbouring frequencies, which single lines fill as well
HIGHEST = 0.48  # cycles per pixel: just below the highest that pixels hold (Nyquist, 0.5)
FAINTEST = 0.01  # share of the ink of the lines that were found
GREY = 0.25  # share of that ink by which run-together lines darken the ground, at the least
SLIM = 0.55  # lines wider than this share of their spacing leave no room for finer ones


def finer_parts(flat, noise, pitch, ink):
    """In how many parts finer lines divide the spacing (short-time periodogram), 1 for none.

    Lines evenly spaced at `pitch` alone fill every multiple of their frequency about alike;
    lines at a tenth of the spacing fill the tenth multiple and not its neighbours. That is
    looked for in short windows, so that finer lines in a part of the picture are found, and
    is told long before the blur lets single lines be seen.

    Parameters
    ----------
    flat : ndarray, shape (strips, places)
        Strips on an even ground, NaN outside the picture.
    noise : ndarray, shape (strips,)
        Standard deviation of their values.
    pitch, ink : float
        Spacing of the lines found, pixels, and their usual ink.

    Returns
    -------
    int
    """
    for parts in PARTS:
        if pitch / parts < CLOSEST_PX:
            continue
        for cells in (1, 2, 4):
            size = round(cells * pitch)
            if size < 8 or size > flat.shape[1] or (cells == 1 and parts == 2):
                continue
            own, other = _amplitudes(flat, size, parts / pitch, _beside(parts, cells, pitch))
            chance = noise[:, None] * np.sqrt(1.5 / size)
            clear = own > np.maximum(STANDS_OUT * other, np.maximum(5 * chance, FAINTEST * ink))
            if (clear[:-2] & clear[1:-1] & clear[2:]).any():
                return parts
    return 1


def _beside(parts, cells, pitch):
    """Frequencies (cycles per pixel) that finer lines leave empty, in a window of some cells."""
    nearest = 2 if cells == 1 else 1  # the short window does not part nearer ones
    multiples = [
        k for k in range(max(1, parts - 3), parts + 4) if k % parts and abs(k - parts) >= nearest
    ]
    if cells > 1:  # lines leave the places between their multiples empty, specks do not
        multiples += [parts - 3 / cells, parts + 3 / cells]
    return [k / pitch for k in multiples if k / pitch < HIGHEST]


def _amplitudes(flat, size, frequency, beside):
    """Amplitude of a frequency (cycles per pixel), and the largest of others, in every window.

    (strips, windows); windows overlap by three quarters, zero where one leaves the picture.
    """
    windows = np.lib.stride_tricks.sliding_window_view(flat, size, axis=1)[:, :: size // 4]
    whole = np.isfinite(windows).all(axis=-1)
    level = _amplitude(windows[whole], np.array([frequency, *beside]))
    own, other = np.zeros(whole.shape), np.zeros(whole.shape)
    own[whole], other[whole] = level[:, 0], level[:, 1:].max(axis=1)
    return own, other


def _amplitude(windows, frequencies):
    """Amplitude of each frequency (cycles per pixel) in each window: (windows, frequencies)."""
    x = np.arange(windows.shape[1])
    taper = np.hanning(windows.shape[1] + 2)[1:-1]
    waves = taper[:, None] * np.exp(-2j * np.pi * x[:, None] * frequencies[None, :])
    level = windows - (windows @ taper / taper.sum())[:, None]
    real = level @ waves.real.astype(np.float32)
    return np.hypot(real, level @ waves.imag.astype(np.float32)) / taper.sum()


def grey_beyond(profiles, along, held, columns, ink, sign):
    """Whether the ground turns to grey where the lines end: finer lines run together there.

    Long marks reach past the lines between them. Where those are too close to be seen one by
    one they still darken the ground, in a step at their ends that uneven light does not make.

    Parameters
    ----------
    profiles : ndarray, shape (strips, places)
        Mean light.
    along : ndarray, shape (strips,)
        Middle of each strip.
    held : ndarray, shape (strips,)
        How many lines were found in each strip.
    columns : ndarray of int, shape (strips, gaps)
        Places halfway between neighbouring lines.
    ink : float
        Ink of the lines, share of the ground.
    sign : int
        -1 for dark lines, 1 for bright ones.

    Returns
    -------
    bool
    """
    inside = (columns >= 1) & (columns < profiles.shape[1] - 1)
    at = np.clip(columns, 1, profiles.shape[1] - 2)
    row = np.arange(len(along))[:, None]
    gaps = (profiles[row, at - 1] + profiles[row, at] + profiles[row, at + 1]) / 3
    value = np.where(inside, gaps, np.nan)
    with_lines = held > 0.5 * held.max()
    for way in (1, -1):
        order = np.arange(len(along))[::way]
        lines = with_lines[order]
        for stop in np.flatnonzero(lines[:-1] & ~lines[1:]):
            first = stop
            while first > 0 and lines[first - 1] and stop - first < 5:
                first -= 1
            # One strip may hold the lines' ends themselves; the two after it tell.
            beyond = order[stop + 2 : stop + 6]
            if stop - first < 3 or beyond.size < 3 or held[beyond].max() > 0.2 * held.max():
                continue
            if _stepped(value, along, order[first:stop], beyond, ink, sign):
                return True
    return False


def _stepped(value, along, before, beyond, ink, sign):
    """Whether the ground beyond stands off the trend of the ground before, as ink does."""
    both = np.isfinite(value[before]).all(axis=0) & np.isfinite(value[beyond]).all(axis=0)
    if both.sum() < 3:
        return False
    ground, after = value[before][:, both], value[beyond][:, both]
    v = along[before] - along[before].mean()
    slope = v @ (ground - ground.mean(axis=0)) / (v @ v)
    away = along[beyond] - along[before].mean()
    expected = np.median(ground, axis=0) + np.median(slope) * away[:, None]
    step = sign * (after / np.maximum(expected, 1e-4) - 1)
    middle = np.median(step, axis=1)
    doubt = 1.4826 * np.median(np.abs(step - middle[:, None])) / np.sqrt(step.shape[1])
    return bool(middle.min() > max(GREY * ink, 0.008, 4 * doubt))


def divided(lattice, parts):
    """The lattice with its spacing in `parts` parts."""
    return replace(lattice, pitch=lattice.pitch / parts)
