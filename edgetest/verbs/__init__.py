"""The front door of a notebook: each verb is one call into `study`, as each command is.

Open `log_verbs` first, then `picture_verbs` and `answer_verbs`; `given` says what a verb may be
given, `plot_verb` draws. The package's own `__init__.py` hands the verbs out.
"""
