"""Pages that answer: curves, comparison, chopper, verdict, case, document.

Open `comparison_page` first; `fit_options` and `evidence_forms` hold the fields that pages share.
"""
