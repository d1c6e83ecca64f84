"""What of an outline is particular to this edge? Its grinding, without damage and bend, whitened.

The sound edge's roughness is a random function of each edge, as a bar code is: laid on itself
it agrees at one place alone. Damage is left out, for a large chip agrees with any other.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import binary_dilation, gaussian_filter1d
from scipy.signal import welch

HIGH_PASS = 30.0  # samples: what is smoother than this is the line's own bend
CLIP = 2.5  # spreads, beyond which a sample counts no more
BESIDE = 0.35  # of its length left out on each side of damage: where its slope runs out
LEAST_BESIDE = 3  # samples
FEWEST_SOUND = 60  # samples of sound edge that can be laid on another
SEGMENT = 256  # samples of a stretch whose spectrum is taken (Welch)
FAR = 5.0  # spreads from which on a sample is damage that was not found
ABOVE = 3.0  # a wavelength counts where it stands so far above the noise


@dataclass(frozen=True)
class SoundLine:
    """Roughness at even steps along the edge, of spread about 1, with where it is sound.

    `start_um` is the place of the first sample; `value` is 0 where `sound` is False.
    """

    start_um: float
    step_um: float
    value: np.ndarray
    sound: np.ndarray

    @property
    def enough(self):
        """Whether there is edge to lay on another."""
        return int(self.sound.sum()) >= FEWEST_SOUND


def sound_roughness(position_um, departure_um, damage, step_um, *, stretch=1.0):
    """The sound edge's roughness at even steps.

    Parameters
    ----------
    position_um, departure_um : ndarray, shape (n,)
        Outline along the edge, ascending, and its departure from the smooth line, µm.
    damage : sequence of (float, float)
        Middle and length of each place of damage, µm.
    step_um : float
        Step, µm.
    stretch : float
        Positions are divided by this first.

    Returns
    -------
    SoundLine
    """
    place = position_um / stretch
    grid = np.arange(place[0], place[-1], step_um)
    height = np.interp(grid, place, departure_um)
    sound = np.ones(grid.size, bool)
    for middle, length in damage:
        reach = length * (0.5 + BESIDE) / stretch + LEAST_BESIDE * step_um
        sound &= np.abs(grid - middle / stretch) > reach
    if sound.sum() < FEWEST_SOUND:
        return SoundLine(float(place[0]), step_um, np.zeros(grid.size), np.zeros(grid.size, bool))
    height, sound = _rough(height, sound)
    value = _whitened(height, sound)
    sound = ~binary_dilation(~sound, iterations=LEAST_BESIDE)
    spread = _spread(value[sound]) if sound.any() else 1.0
    value = np.clip(value / max(spread, 1e-12), -CLIP, CLIP)
    return SoundLine(float(place[0]), step_um, np.where(sound, value, 0.0), sound)


def _rough(height, sound):
    """The line without its bend, bridged where it is damaged; and what of it is sound.

    What stands out of the rest by itself was damage as well, found or not.
    """
    for _ in range(3):
        weight = sound.astype(float)
        level = np.median(height[sound])
        base = gaussian_filter1d(weight * (height - level), HIGH_PASS)
        rest = height - level - base / np.maximum(gaussian_filter1d(weight, HIGH_PASS), 1e-6)
        spread = max(_spread(rest[sound]), 1e-9)
        out = binary_dilation(np.abs(rest) > FAR * spread, iterations=LEAST_BESIDE)
        if (sound & ~out).sum() < FEWEST_SOUND or not (sound & out).any():
            break
        sound = sound & ~out
    place = np.arange(rest.size)
    return np.interp(place, place[sound], rest[sound]), sound


def _whitened(height, sound):
    """The line through a filter that gives every wavelength seen above the noise equal weight."""
    size = min(SEGMENT, height.size)
    frequency, power = welch(height, nperseg=size, noverlap=3 * size // 4, detrend=False)
    power = np.exp(gaussian_filter1d(np.log(power + 1e-30), 1.0)) / max(sound.mean(), 1e-3)
    floor = ABOVE * 2 * _noise(height, sound) ** 2
    gain = np.sqrt(np.maximum(power - floor, 0.0)) / np.maximum(power, 1e-30)
    count = 2 * height.size
    at = np.fft.rfftfreq(count)
    spectrum = np.fft.rfft(height, count) * np.interp(at, frequency, gain)
    return np.fft.irfft(spectrum, count)[: height.size]


def _noise(height, sound):
    """Spread of what differs from one sample to the next, by fourth differences."""
    whole = np.convolve(sound, np.ones(5), mode="valid") == 5
    change = np.diff(height, 4)[whole]
    return _spread(change) / np.sqrt(70.0) if change.size > 20 else 0.0


def _spread(values):
    """Robust standard deviation."""
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))
