"""The photographs of the invented rope run: drawn from stated truth and one stream of chance.

The run is drawn once, in its order. Beside each photograph's truth stands where in the stream of
chance it begins, so that any one of them can be rendered again by itself, the same to the last
bit, in any order and on several cores.
"""

import cv2
import numpy as np

from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.ruling_scene import render_ruling

ROPE_SEED = 20261125
UM_PER_PX = 0.4
LIMIT_UM = 12.0
STAGES = (0, 10, 25, 50, 100, 150, 200, 300)
STATIONS_MM = (20, 40, 60)
ROLLS = ("roll 1", "roll 2", "roll 3")
# Median life of each temper on an average roll, cuts until the edge is LIMIT_UM wide.
MEDIAN_LIFE = {"temper_190": 270.0, "temper_260": 170.0, "shop_standard": 215.0}
SD_LOG_LIFE_BLADES = 0.09
SD_LOG_LIFE_ROLLS = 0.07
SD_LOG_WIDTH_STATIONS = 0.03
SD_LOG_WIDTH_PLACES = 0.03
BLADES = {
    "H1": ("temper_190", 0),
    "H2": ("temper_190", 1),
    "H3": ("temper_190", 2),
    "S1": ("temper_260", 0),
    "S2": ("temper_260", 1),
    "S3": ("temper_260", 2),
}
CONTROL = "C1"


MICROMETER = "micrometer.jpg"
SPOILT = ("H2", 50, 40)  # blade, cuts and station of the photograph that is out of focus


def jpeg_of(picture, quality=50):
    """A grey picture as the bytes of a JPEG file."""
    smallest = [cv2.IMWRITE_JPEG_OPTIMIZE, 1, cv2.IMWRITE_JPEG_PROGRESSIVE, 1]
    _, coded = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality, *smallest])
    return coded.tobytes()


def chance_now(rng):
    """Where a stream of chance stands, as text for a JSON file."""
    state = rng.bit_generator.state
    half = f":{state['uinteger']:08x}" if state["has_uint32"] else ""
    return f"{state['state']['state']:032x}{half}"


def chance_from(text):
    """The rope run's stream of chance from where `chance_now` found it."""
    rng = np.random.default_rng(ROPE_SEED)
    whole, _, half = text.partition(":")
    state = dict(rng.bit_generator.state)
    state["state"]["state"] = int(whole, 16)
    state["has_uint32"], state["uinteger"] = int(bool(half)), int(half or "0", 16)
    rng.bit_generator.state = state
    return rng


def rope_lives(rng):
    """True life of every run: (blade, roll) -> cuts; and the runs' order."""
    roll_effect = SD_LOG_LIFE_ROLLS * rng.standard_normal(len(ROLLS))
    lives = {}
    control = SD_LOG_LIFE_BLADES * rng.standard_normal()
    for roll, name in enumerate(ROLLS):
        here = [blade for blade, (_, where) in BLADES.items() if where == roll]
        for blade in rng.permutation(here):
            temper = BLADES[blade][0]
            spread = SD_LOG_LIFE_BLADES * rng.standard_normal()
            lives[str(blade), name] = MEDIAN_LIFE[temper] * np.exp(roll_effect[roll] + spread)
        lives[CONTROL, name] = MEDIAN_LIFE["shop_standard"] * np.exp(roll_effect[roll] + control)
    return lives, dict(zip(ROLLS, roll_effect.tolist(), strict=True))


def rope_width_um(life, fresh_um, cuts):
    """Edge width of a wedge worn flat at a constant volume per cut: w² = w0² + K n."""
    return np.sqrt(fresh_um**2 + (LIMIT_UM**2 - fresh_um**2) * cuts / life)


def rope_pictures(rng, lives):
    """Every photograph of the run in its order: what stands in its row, its JPEG, its truth.

    Yields
    ------
    row : tuple
        Blade, roll, cuts, station_mm and name of the photograph.
    jpeg : bytes
    truth : dict
    """
    for (blade, roll), life in lives.items():
        fresh_um = 2.4 * np.exp(0.06 * rng.standard_normal())
        at_station = np.exp(SD_LOG_WIDTH_STATIONS * rng.standard_normal(len(STATIONS_MM)))
        at_station /= np.exp(np.mean(np.log(at_station)))
        for cuts in STAGES:
            for station_mm, factor in zip(STATIONS_MM, at_station, strict=True):
                place = np.exp(SD_LOG_WIDTH_PLACES * rng.standard_normal())
                width_um = float(rope_width_um(life, fresh_um, cuts) * factor * place)
                name = f"{blade}_{roll.replace(' ', '')}_{cuts:03d}_{station_mm:03d}.jpg"
                spoilt = (blade, cuts, station_mm) == SPOILT
                drawn = {"asked_width_um": width_um, "spoilt": spoilt, "chance": chance_now(rng)}
                picture, truth = rope_photograph(width_um, cuts, spoilt, rng)
                yield (blade, roll, cuts, station_mm, name), jpeg_of(picture), truth | drawn


def rope_photograph(width_um, cuts, spoilt, rng):
    """An apex photograph as a careful maker takes it; one in the run is out of focus."""
    picture, truth = render_apex(
        shape=(320, 480),
        width_um=width_um,
        um_per_px=UM_PER_PX,
        tilt_deg=rng.uniform(-6, 6),
        bow_px=rng.uniform(-6, 6),
        offset_px=rng.uniform(-25, 25),
        width_sd=0.04,
        width_grain_um=15.0,
        land=rng.uniform(0.45, 0.65),
        bevels=(rng.uniform(0.04, 0.08), rng.uniform(0.04, 0.08)),
        land_grain=0.05,
        land_grain_um=12.0,
        bevel_grain=0.15,
        scratches=int(rng.integers(0, 3)),
        uneven_light=rng.uniform(-0.15, 0.15),
        dust=int(rng.integers(0, 3)),
        blur_px=30.0 if spoilt else rng.uniform(0.9, 1.3),
        noise=0.012,
        rng=rng,
    )
    wanted = ("width_um", "width_sd_um", "edge_length_um", "tilt_deg", "blur_px", "um_per_px")
    return picture, {key: truth[key] for key in wanted} | {"cuts": cuts}


def micrometer_picture(rng):
    """JPEG and truth of the photograph of the stage micrometer."""
    drawn = {"chance": chance_now(rng)}
    picture, truth = render_ruling(
        shape=(320, 480), um_per_px=UM_PER_PX, pitch_um=10.0, rotation_deg=1.3, rng=rng
    )
    return jpeg_of(picture, quality=92), truth | drawn


def rendered_again(name, truth):
    """The JPEG of one photograph of the run, from its truth alone.

    Parameters
    ----------
    name : str
        Name of its file.
    truth : dict
        What `rope_pictures` or `micrometer_picture` gave with it.
    """
    rng = chance_from(truth["chance"])
    if name == MICROMETER:
        return micrometer_picture(rng)[0]
    picture, _ = rope_photograph(truth["asked_width_um"], truth["cuts"], truth["spoilt"], rng)
    return jpeg_of(picture)
