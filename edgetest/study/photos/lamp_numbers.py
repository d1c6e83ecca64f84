"""What a photograph between two lamps gives, in the shape in which a study keeps photographs."""

from edgetest.doubts import told
from edgetest.photo.apex.apex_light import FacingWidth
from edgetest.photo.glints.crest_words import crest_words

SIZES = ("radius_um", "flat_um", "land_um", "corner_um")
SHARES = ("own_u", "shared_u", "lamp_angle_deg")
NO_LINE = ("width_um", "width_u_um", "below_um", "apex", "measured_length_um", "share_measured",
           "blur_px", "snr")  # fmt: skip
AT_LEAST, AT_MOST, BETWEEN = "at least", "at most", "between"


def lamp_numbers(size, relative_u, on_axis):
    """The numbers of a crest as those of a bright line stand: W30 in place of a width.

    Parameters
    ----------
    size : CrestSize
    relative_u : float
        Of the scale.
    on_axis : str
        The on-axis photograph of the same place, or "".

    Returns
    -------
    dict
    """
    found = size.to_dict()
    measured = found["status"] == "measured"
    crest = {name: found[name] for name in (*SIZES, *SHARES)}
    used = on_axis if found["land_um"] is not None else ""
    scale = {"um_per_px": found["um_per_px"], "relative_u": relative_u}
    return {
        "status": found["status"],
        "reasons": found["reasons"],
        **dict.fromkeys(NO_LINE),
        "light": found["light"],
        "w30_um": found["w30_um"],
        "crest": {**crest, "form": form_of(crest), "on_axis": used} if measured else None,
        "scale": scale if found["um_per_px"] is not None else None,
        "chips": [],
        **told(size.doubts),
    }


def form_of(crest):
    """What is known of a crest's form."""
    return "land and corner" if crest["land_um"] is not None else "round or flat"


def limit_of(w30):
    """What kind of limit a W30 is: "" for a value, else "at least", "at most" or "between"."""
    if w30 is None or w30["value"] is not None:
        return ""
    if w30["high"] is None:
        return AT_LEAST
    return BETWEEN if w30["low"] else AT_MOST


def lamp_words(numbers):
    """The crest of a photograph's numbers as a maker reads it."""
    sizes = {"w30_um": numbers["w30_um"]} | {name: numbers["crest"][name] for name in SIZES}
    return crest_words(
        {name: None if size is None else FacingWidth(**size) for name, size in sizes.items()}
    )
