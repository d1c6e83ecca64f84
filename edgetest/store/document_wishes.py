"""What does a study wish for its document: the `[document]` section of study.toml."""

from edgetest.store.checking import validate
from edgetest.store.records import Study
from edgetest.store.study_sections import Settings


def settings_of(study):
    """The study's wishes for its document; every fault names the key."""
    return validate(Settings, dict(study.document or {}), "study.toml, document", root=Study)
