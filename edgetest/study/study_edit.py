"""Facts of study.toml set from a page that may be older than the file: nothing is lost silently.

A change starts from what stands on disk. What another device changed meanwhile stays; where
both changed the same fact, the later one is refused with both versions.
"""

from edgetest.errors import UnusableInput
from edgetest.store.records import STUDY_FILE, Study
from edgetest.store.scale_rules import BESIDE_THE_EDGE, LAMP_KEYS, ScaleRule
from edgetest.store.workspace import change_study


def put_document_wishes(folder, was, wishes) -> Study:
    """Put wishes for the document, and the maker's name, in the place of those shown.

    Parameters
    ----------
    folder : path-like
    was : dict
        Keys of `[document]` and "maker", as the page showed them (see `shown_wishes`).
    wishes : dict
        Those that were changed on the page, as they shall be; a blank takes one out.

    Raises
    ------
    UnusableInput
        Naming both versions of what was changed here and elsewhere.
    """

    def change(study):
        now = shown_wishes(study)
        twice = [
            key for key in wishes
            if _given(now, key) not in (_given(was, key), _given(wishes, key))
        ]  # fmt: skip
        if twice:
            raise _stale(
                "; ".join(f"{key} is now {_said(now.get(key))}, not {_said(wishes[key])}"
                          for key in twice), "document",
            )  # fmt: skip
        kept = {key: value for key, value in {**now, **wishes}.items() if value}
        maker = kept.pop("maker", "")
        return study.model_copy(update={"document": kept or None, "maker": maker})

    return change_study(folder, change)


def shown_wishes(study):
    """The wishes for the document and the maker's name, as `put_document_wishes` takes them."""
    return {**(study.document or {}), "maker": study.maker}


def put_scale(folder, name, rule, *, was) -> Study:
    """Put a scale in the place of the one shown.

    Parameters
    ----------
    folder : path-like
    name : str
        As the log's column scale says it; "" is the scale of all photographs without a name.
    rule : ScaleRule
        A tone that the old one had is kept, and its needle and lamps where the light is the same.
    was : ScaleRule or None
        The scale of that name that the page showed.

    Raises
    ------
    UnusableInput
        If another one stands there by now; both are told.
    """

    def change(study):
        now = study.scales.get(name) if name else study.scale
        if now not in (was, rule):
            raise _stale(f"the scale is now {scale_words(now)}, not {scale_words(was)}", "scale")
        made = rule.model_copy(update=_kept_of(now, rule)) if now is not None else rule
        if not name:
            return study.model_copy(update={"scale": made})
        return study.model_copy(update={"scales": {**study.scales, name: made}})

    return change_study(folder, change)


def _kept_of(now, rule):
    """What a set-up keeps of before where its scale is taken anew: tone, needle and lamps."""
    same_light = now.light == rule.light and rule.light in BESIDE_THE_EDGE
    keys = ("tone", *(LAMP_KEYS if same_light and rule.needle is None else ()))
    return {key: getattr(now, key) for key in keys if getattr(rule, key) in (None, "")}


def scale_words(rule: ScaleRule | None):
    """A scale's rule in words."""
    if rule is None:
        return "none"
    if rule.um_per_px is not None:
        note = f" ({rule.note})" if rule.note else ""
        return f"{rule.um_per_px:.6g} µm per pixel{note}"
    if rule.ruling is not None:
        return f"the lines of {rule.ruling}, {rule.pitch_um:g} µm apart"
    return f"two marks in {rule.photo}, {rule.distance_um:g} µm apart"


def _given(wishes, key):
    """A wish; blank, empty and missing are the same."""
    return wishes.get(key) or None


def _said(value):
    """A wish in words."""
    if not value:
        return "blank"
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else f'"{value}"'


def _stale(what, part):
    """A fact that somebody else has changed since the page was drawn."""
    return UnusableInput(what, f"{STUDY_FILE}, {part}", "look at it as it is now, then save again")
