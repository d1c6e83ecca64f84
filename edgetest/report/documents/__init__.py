"""Documents for a reader: PDF and HTML from one Typst template.

Open `document` first; `comparison_document`, `chopper_sheet`, `steel_sheet` and `bench_sheet`
say what stands in each, `frame` and `blocks` what they share, `typeset` makes the file.
"""
