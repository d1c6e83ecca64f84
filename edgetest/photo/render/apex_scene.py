"""Photographs of edges that never were: apex views whose true width is known.

The scene is drawn in linear light (land, bevels, texture, dust, chips) on a grid finer
than the picture and handed to `edgetest.photo.render.camera.expose`. The truth that goes with
it is what a perfect measurement would say.
"""

import cv2
import numpy as np

from edgetest.photo.render.camera import expose


def render_apex(
    *,
    shape=(480, 640),
    width_um=12.0,
    um_per_px=1.0,
    tilt_deg=0.0,
    bow_px=0.0,
    recurve_px=0.0,
    offset_px=0.0,
    span=(0.0, 1.0),
    width_sd=0.0,
    width_grain_um=60.0,
    land=0.6,
    bevels=(0.06, 0.06),
    bevel_slope=0.0,
    land_grain=0.0,
    land_grain_um=40.0,
    bevel_grain=0.0,
    scratches=0,
    uneven_light=0.0,
    dust=0,
    label="",
    chips=(),
    round_land=0.0,
    second_band=None,
    supersample=2,
    rng=None,
    **camera,
):
    """Apex-view photograph of an edge and the truth about it.

    Parameters
    ----------
    shape : (int, int)
        Rows and columns of the photograph.
    width_um, um_per_px : float
        Mean width of the land, and the scale.
    tilt_deg : float
        Direction of the edge, 0 along the rows, 90 upright; any value.
    bow_px, recurve_px : float
        Height of a simple bow and of an S-curve over the picture, pixels.
    offset_px : float
        Distance of the edge from the middle of the picture.
    span : (float, float)
        Part of the picture's length that the edge covers, 0 to 1.
    width_sd, width_grain_um : float
        Relative standard deviation of the width along the edge and its grain.
    land, bevels : float, (float, float)
        Linear light of the land and of the bevel on either side (1 = full scale).
    bevel_slope : float
        Change of the bevels' light per 100 pixels away from the land.
    land_grain, land_grain_um, bevel_grain : float
        Relative standard deviation of the land's brightness along (and, less, across)
        the edge, its grain, and the same of the bevels.
    scratches, dust : int
        Number of bright scratches over bevels and land, and of dark and bright specks.
    uneven_light : float
        Relative change of the light from one side of the picture to the other.
    label : str
        Text burnt into the lower left corner.
    chips : sequence of (position_um, length_um, depth_um, side)
        Departures of one boundary, raised cosine, outward where the depth is positive and
        into the land where it is negative; side is -1 or +1; positions from the border of
        the picture where the edge starts. Length is where the
        departure exceeds a tenth of the depth.
    round_land : float
        0 a flat land; 1 a land whose brightness falls to nothing at its sides (a dome).
    second_band : (float, float, float), optional
        Distance (µm), width (µm) and light of another band beside the land.
    supersample : int
        Scene samples per pixel and axis.
    rng : numpy.random.Generator, optional
        Needed where anything random is asked for (noise is, unless `noise=0`).
    **camera
        Handed to `edgetest.photo.render.camera.expose`.

    Returns
    -------
    picture : ndarray, shape `shape`, uint8 or uint16
    truth : dict
        JSON-plain: width_um (mean along the edge in the picture, outside chips),
        width_sd_um, p05_um, p50_um, p95_um, edge_length_um, chips, um_per_px, and the
        settings that made the picture.
    """
    rng = rng if rng is not None else np.random.default_rng(0)
    k = supersample
    fine = (shape[0] * k, shape[1] * k)
    frame = _Frame(shape, tilt_deg, bow_px, recurve_px, offset_px)
    across, along = frame.coordinates(fine, k)
    profile = _WidthAlong(
        frame, width_um / um_per_px, width_sd, width_grain_um / um_per_px, um_per_px, chips, rng
    )
    left, right = profile.sides(along)
    first = frame.start + span[0] * frame.length
    last = frame.start + span[1] * frame.length
    turn = frame.angle
    cover = _cover(across + left, k, turn) * _cover(right - across, k, turn)
    if span != (0.0, 1.0):
        cover *= _cover(along - first, k, turn) * _cover(last - along, k, turn)

    scene = np.where(across < 0, np.float32(bevels[0]), np.float32(bevels[1]))
    if bevel_slope:
        scene = np.maximum(scene + bevel_slope * np.abs(across) / 100, 0)
    if bevel_grain:
        grain = _brushed(fine, frame.angle, 12.0 * k, 0.7 * k, rng)
        scene = scene * np.clip(1 + bevel_grain * grain, 0.1, None)
    bright = np.full(fine, land, dtype=np.float32)
    if land_grain:
        bright *= _land_grain(along, across, frame, land_grain, land_grain_um / um_per_px, rng)
    if round_land:
        middle = np.clip((2 * across + left - right) / np.maximum(left + right, 1e-6), -1, 1)
        bright *= 1 - round_land * middle**2
    scene = scene + (bright - scene) * cover
    if second_band:
        distance, band_width, light = second_band
        off = across - distance / um_per_px
        half = band_width / um_per_px / 2
        more = _cover(off + half, k, turn) * _cover(half - off, k, turn)
        scene = scene + (np.float32(light) - scene) * more
    scene = _scratch(scene, scratches, k, rng)
    scene = _dust(scene, dust, k, rng)
    if uneven_light:
        ramp = np.linspace(-1, 1, fine[1], dtype=np.float32)[None, :]
        ramp = ramp + 0.5 * np.linspace(-1, 1, fine[0], dtype=np.float32)[:, None]
        scene = scene * np.clip(1 + uneven_light * ramp / 1.5, 0.05, None)
    if label:
        scene = _write(scene, label, k)
    picture = expose(scene, supersample=k, rng=rng, **camera)
    truth = profile.truth(first, last) | {
        "um_per_px": float(um_per_px),
        "tilt_deg": float(tilt_deg),
        "nominal_width_um": float(width_um),
        "blur_px": [float(b) for b in np.atleast_1d(camera.get("blur_px", 1.3))],
        "noise": float(camera.get("noise", 0.01)),
        "land": float(land),
        "bevels": [float(b) for b in bevels],
        "bands": 2 if second_band else 1,
    }
    return picture, truth


class _Frame:
    """Where the edge lies: `along` it (arc length, pixels) and `across` it."""

    def __init__(self, shape, tilt_deg, bow_px, recurve_px, offset_px):
        self.angle = np.deg2rad(tilt_deg)
        self.shape = shape
        rows, cols = shape
        c, s = np.cos(self.angle), np.sin(self.angle)
        # How far a straight edge through the middle runs inside the picture.
        reach = min(cols / 2 / max(abs(c), 1e-9), rows / 2 / max(abs(s), 1e-9))
        self.reach = reach
        u = np.linspace(-1.7 * reach - 100, 1.7 * reach + 100, 40001)
        shape_at = bow_px * (1 - (u / reach) ** 2) + recurve_px * np.sin(np.pi * u / reach)
        self.u, self.v = u, shape_at + offset_px
        self.slope = np.gradient(self.v, u)
        steps = np.hypot(np.diff(u), np.diff(self.v))
        self.s = np.concatenate([[0], np.cumsum(steps)])
        row = rows / 2 + u * s + self.v * c - 0.5
        col = cols / 2 + u * c - self.v * s - 0.5
        inside = (row >= -0.5) & (row <= rows - 0.5) & (col >= -0.5) & (col <= cols - 0.5)
        self.start = float(self.s[inside][0])
        self.length = float(self.s[inside][-1] - self.start)

    def coordinates(self, fine, k):
        """Distance across and arc length along the edge of every sample, float32."""
        row = (np.arange(fine[0], dtype=np.float32) + 0.5) / k - 0.5
        col = (np.arange(fine[1], dtype=np.float32) + 0.5) / k - 0.5
        y = row[:, None] + 0.5 - np.float32(self.shape[0] / 2)
        x = col[None, :] + 0.5 - np.float32(self.shape[1] / 2)
        c, s = np.float32(np.cos(self.angle)), np.float32(np.sin(self.angle))
        u, v = c * x + s * y, c * y - s * x
        if not np.any(self.v - self.v[0]):
            along = u - np.float32(self.u[0]) + np.float32(self.s[0])
            return v - np.float32(self.v[0]), along
        foot = u.astype(np.float64)
        for _ in range(3):  # foot of the perpendicular, fixed-point steps
            height = np.interp(foot, self.u, self.v)
            foot = u + (v - height) * np.interp(foot, self.u, self.slope)
        height = np.interp(foot, self.u, self.v)
        slope = np.interp(foot, self.u, self.slope)
        across = ((v - height) - slope * (u - foot)) / np.sqrt(1 + slope**2)
        return across.astype(np.float32), np.interp(foot, self.u, self.s).astype(np.float32)


class _WidthAlong:
    """Half widths on either side of the middle line as functions of arc length."""

    def __init__(self, frame, width_px, width_sd, grain_px, um_per_px, chips, rng):
        self.um_per_px = um_per_px
        self.start = frame.start
        self.s = np.arange(0, frame.s[-1] + 1, 0.5)
        width = np.full(self.s.size, float(width_px))
        if width_sd:
            change = smooth_noise(self.s.size, 2 * grain_px, rng)
            width = width * np.clip(1 + width_sd * change, 0.2, None)
        self.plain = width
        self.left, self.right = width / 2, width / 2
        self.chips = []
        self.chipped = np.zeros(self.s.size, dtype=bool)
        for position_um, length_um, depth_um, side in chips:
            # A raised cosine exceeds a tenth of its height over 0.7952 of its support.
            support = length_um / um_per_px / 0.79517
            x = (self.s - frame.start - position_um / um_per_px) / support
            shape = np.where(np.abs(x) < 0.5, 0.5 * (1 + np.cos(2 * np.pi * x)), 0)
            more = shape * depth_um / um_per_px
            if side < 0:
                self.left = self.left + more
            else:
                self.right = self.right + more
            self.chipped |= np.abs(x) < 0.5
            self.chips.append([float(position_um), float(length_um), float(depth_um), int(side)])

    def sides(self, along):
        """Distance from the middle line to the side at negative and at positive `across`."""
        if np.ptp(self.left) == 0 and np.ptp(self.right) == 0:
            return np.float32(self.left[0]), np.float32(self.right[0])
        left = np.interp(along, self.s, self.left).astype(np.float32)
        return left, np.interp(along, self.s, self.right).astype(np.float32)

    def truth(self, first, last):
        """What a perfect measurement between `first` and `last` would say."""
        seen = (self.s >= first) & (self.s <= last)
        width_um = self.plain[seen & ~self.chipped] * self.um_per_px
        p05, p50, p95 = np.percentile(width_um, [5, 50, 95])
        keys = ("position_um", "length_um", "depth_um", "side")
        return {
            "width_um": float(width_um.mean()),
            "width_sd_um": float(width_um.std()),
            "p05_um": float(p05),
            "p50_um": float(p50),
            "p95_um": float(p95),
            "edge_length_um": float((last - first) * self.um_per_px),
            "chips": [dict(zip(keys, chip, strict=True)) for chip in self.chips],
            "along": self.along(first, last),
        }

    def along(self, first, last):
        """Width without chips every eighth pixel: positions and widths (µm), rounded."""
        s = np.arange(first, last, 8.0)
        width = np.interp(s, self.s, self.plain) * self.um_per_px
        position = (s - self.start) * self.um_per_px
        return {
            "position_um": [round(float(value), 3) for value in position],
            "width_um": [round(float(value), 4) for value in width],
        }


def smooth_noise(n, grain, rng):
    """Unit-variance Gaussian noise of length `n` with correlation length `grain` samples."""
    if grain < 0.5:
        return rng.standard_normal(n)
    reach = int(4 * grain) + 1
    x = np.arange(-reach, reach + 1)
    kernel = np.exp(-0.5 * (x / (grain / np.sqrt(2))) ** 2)
    kernel /= np.sqrt(np.sum(kernel**2))
    size = n + 2 * reach
    length = 1 << (size + kernel.size).bit_length()
    white = rng.standard_normal(size)
    out = np.fft.irfft(np.fft.rfft(white, length) * np.fft.rfft(kernel, length), length)
    return out[2 * reach : 2 * reach + n]


def _cover(distance_px, k, angle):
    """Share of a square scene sample (1/k pixel) on the positive side of a straight line."""
    long = max(abs(np.cos(angle)), abs(np.sin(angle))) / k
    short = max(min(abs(np.cos(angle)), abs(np.sin(angle))) / k, 1e-3 / k)
    distance = np.asarray(distance_px, dtype=np.float32)

    def ramp(shift):
        return np.square(np.maximum(distance + np.float32(shift), 0)) / 2

    outer, inner = (long + short) / 2, (long - short) / 2
    if short < 0.02 * long:  # the line runs along the samples' own sides
        return np.clip(distance / long + 0.5, 0, 1)
    total = ramp(outer) - ramp(inner) - ramp(-inner) + ramp(-outer)
    # Far on the positive side the difference of large squares is 1 but for rounding.
    share = np.where(distance >= outer, 1, total / np.float32(long * short))
    return np.clip(share, 0, 1).astype(np.float32)


def _brushed(fine, angle, along, across, rng):
    """Grinding marks: unit-variance noise drawn out along a direction off the edge's own."""
    field = rng.standard_normal(fine, dtype=np.float32)
    half = int(2 * along)
    row, col = np.mgrid[-half : half + 1, -half : half + 1].astype(np.float32)
    turn = angle + np.pi / 2.4
    u = col * np.cos(turn) + row * np.sin(turn)
    v = row * np.cos(turn) - col * np.sin(turn)
    kernel = np.exp(-0.5 * ((u / along) ** 2 + (v / across) ** 2))
    field = cv2.filter2D(field, -1, kernel / np.sqrt(np.sum(kernel**2)))
    return field


def _land_grain(along, across, frame, relative_sd, grain_px, rng):
    """Brightness factor of the land: slow along the edge, and a finer part across it."""
    s = np.arange(0, frame.s[-1] + 1, 0.5)
    slow = smooth_noise(s.size, 2 * grain_px, rng)
    tilt = smooth_noise(s.size, 2 * grain_px, rng)
    factor = np.interp(along, s, slow) + 0.3 * np.interp(along, s, tilt) * np.tanh(across / 10)
    return np.clip(1 + relative_sd * factor, 0.15, None).astype(np.float32)


def _write(scene, label, k):
    """Text burnt into the lower left corner."""
    ink = np.zeros(scene.shape, dtype=np.uint8)
    place = (int(0.03 * scene.shape[1]), int(0.95 * scene.shape[0]))
    size = scene.shape[0] / 500
    cv2.putText(ink, label, place, cv2.FONT_HERSHEY_SIMPLEX, size, 255, max(1, 2 * k))
    return np.where(ink > 0, np.float32(0.9), scene)


def _scratch(scene, count, k, rng):
    """Bright straight scratches, one to two pixels wide."""
    rows, cols = scene.shape
    for _ in range(count):
        r, c = rng.uniform(0, rows), rng.uniform(0, cols)
        turn = rng.uniform(0, np.pi)
        reach = rng.uniform(0.1, 0.4) * min(rows, cols)
        dr, dc = reach * np.sin(turn), reach * np.cos(turn)
        light = float(rng.uniform(0.15, 0.5))
        start, end = (int(c - dc), int(r - dr)), (int(c + dc), int(r + dr))
        cv2.line(scene, start, end, light, max(1, round(k * rng.uniform(0.7, 1.8))))
    return scene


def _dust(scene, count, k, rng):
    """Specks: two thirds dark, one third bright, radius 1 to 5 pixels."""
    rows, cols = scene.shape
    for _ in range(count):
        centre = int(rng.uniform(0, cols)), int(rng.uniform(0, rows))
        radius = max(1, round(k * rng.uniform(1, 5)))
        light = 0.02 if rng.uniform() < 0.67 else float(rng.uniform(0.4, 0.9))
        cv2.circle(scene, centre, radius, light, -1)
    return scene
