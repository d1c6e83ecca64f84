"""Is a study to be photographed whose pictures have no scale yet?"""

from edgetest.store.workspace import change_study
from edgetest.study.wear.photo_values import PHOTOGRAPHED


def needs_scale(source):
    """Whether scale and light are asked next: before the first reading that a photograph gives.

    Not where somebody said that the widths are typed, and not once a reading stands in the log:
    whoever began without a scale is not stopped.
    """
    study = source.study
    photographed = any(rule.name in PHOTOGRAPHED for rule in source.protocol.readings)
    scaled = study.scale is not None or study.scales
    begun = any(not row.waiting for row in source.log.rows)
    typed = study.edge_width_from == "log"
    return source.protocol.log == "log" and photographed and not (scaled or begun or typed)


def type_widths(source):
    """Widths of this study are typed, not taken from photographs."""
    change_study(source.path, lambda now: now.model_copy(update={"edge_width_from": "log"}))
