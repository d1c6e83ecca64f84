"""Why a photograph was not measured, or is doubted: short codes with a sentence and the mend."""

from dataclasses import dataclass

from edgetest.estimate import explain

REFUSALS = {
    "no_band": (
        "No bright band runs through the picture; light the apex along its axis so that the "
        "land shines between dark bevels, and put it in the middle."
    ),
    "no_contrast": (
        "The picture is nearly one grey; light the land so that it stands out from the bevels."
    ),
    "glints_only": (
        "There are bright spots but no continuous band; a keen edge shows none, otherwise turn "
        "the light until the land shines along its length."
    ),
    "two_bands": (
        "There is more than one bright band, so it is not plain which is the land (a wire edge, "
        "a burr or a double reflection); remove the burr, or mark the region to be measured."
    ),
    "ruling": (
        "This looks like a stage micrometer, not like an edge; take its scale with "
        "'edgetest scale' and give the photograph of the edge here."
    ),
    "inverted": (
        "The band is dark between bright sides: a back-lit or inverted picture; light the edge "
        "along its axis, or invert the picture back."
    ),
    "land_fills_frame": (
        "The bright land reaches the border of the picture, so only one side of it can be seen "
        "or none; use less magnification."
    ),
    "out_of_focus": (
        "The picture is out of focus: the blur is as wide as the band; focus on the apex and "
        "photograph it again."
    ),
    "motion_blur": (
        "The camera moved while the shutter was open; rest it on a stand or use a shorter exposure."
    ),
    "saturated": (
        "The band is so overexposed that its width cannot be trusted; shorten the exposure until "
        "no part of the land is pure white."
    ),
    "too_dark": "The picture is too dark to measure; more light or a longer exposure.",
    "too_noisy": (
        "The noise is as strong as the band; more light, lower gain, or average several pictures."
    ),
    "no_scale": (
        "The scale is missing: give µm per pixel, or a photograph of a stage micrometer taken "
        "with the same set-up."
    ),
    "too_small": (
        "The picture (or the marked region) is too small to hold an edge; at least 24 pixels "
        "each way are needed."
    ),
    "too_short": (
        "The picture shows less of the edge than can be trusted, an eighth of its length; give a "
        "picture with more of the edge in it, or mark the region to be measured."
    ),
    "damaged_file": "The file is damaged; copy it from the camera again.",
    "not_a_picture": "The file is not a picture; give a JPEG, PNG or TIFF.",
    "too_large": "The picture is too large to decode; cut it to the part that shows the edge.",
}

WARNINGS = {
    "below_resolution": (
        "The band is not wider than the blur allows to measure; only an upper limit can be given. "
        "More magnification, or the blur measured on the stage micrometer, would give a width."
    ),
    "narrow_band": (
        "The band is hardly wider than the blur; one pooled profile was fitted and the interval "
        "is wide."
    ),
    "saturated_band": (
        "Part of the band is pure white; its width comes from the flanks. Shorten the exposure."
    ),
    "tone_unknown": (
        "The file does not say how the camera stores grey values; the doubt is in the interval."
    ),
    "focus_varies": "The focus changes along the edge; each place was fitted with its own blur.",
    "soft_focus": "The picture is soft; a sharper one would measure better.",
    "motion_blur": (
        "The sides are smeared like by a camera that moved; rest it on a stand next time."
    ),
    "partly_measured": (
        "Less than 70 % of the edge in the picture could be measured; see the overlay."
    ),
    "second_band_faint": (
        "A fainter band runs beside the land: perhaps a burr or a second reflection."
    ),
    "rolled_edge": (
        "One side of the band is much softer than the other: the edge may be rolled to that side."
    ),
    "uneven_width": "The width varies strongly along the edge; its mean says little about a place.",
    "rounded_land": (
        "The land is darker towards its sides, as a rounded apex is; its width was taken to where "
        "its light meets the bevels. Compare it with rounded lands only."
    ),
    "sharpened": (
        "The picture looks sharpened by the camera, which widens bright bands; switch sharpening "
        "off. The doubt is in the interval."
    ),
    "unlike_profile": (
        "The band does not look like a land behind a lens, flat or rounded; its width may be off "
        "by more than the interval."
    ),
    "scale_mismatch": (
        "With this scale the picture would be sharper than light allows, or its land wider than "
        "any edge; take the scale again at this magnification."
    ),
    "noisy": "The picture is noisy; more light would narrow the interval.",
    "chips_found": "The edge has local widenings; they are listed and left out of the width.",
}


@dataclass(frozen=True)
class Reason:
    """A refusal or a warning: a code for programs, a sentence for people."""

    code: str
    text: str

    def to_dict(self):
        """The pair as JSON carries it."""
        return explain(self.code, self.text)


def refusal(code, more=""):
    """Reason to refuse, with the particulars of this picture after the sentence."""
    return Reason(code, f"{REFUSALS[code]} {more}".strip())


def warning(code, more=""):
    """Doubt that does not stop the measurement."""
    return Reason(code, f"{WARNINGS[code]} {more}".strip())
