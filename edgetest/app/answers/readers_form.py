"""Form of the verdict's page: the files, the tester and the oven that the shop works with."""

from edgetest.app.answers.evidence_fields import READERS, asked
from edgetest.app.answers.evidence_forms import save_and_redraw
from edgetest.app.kept_fields import kept_form
from edgetest.study.steel.evidence_edit import put_facts


def readers_form(source):
    """What hardness is read with, and whether the oven was checked; of all pieces together."""
    held = source.study.evidence or {}
    was = {field.key: held.get(field.key) for field in READERS}
    form = kept_form(source.path, "files, tester and oven")
    now = asked(form, READERS, was)
    if form.save("Save files, tester and oven", primary=False):
        save_and_redraw(form, put_facts, source.path, was, now, fields=READERS)
