"""From a chop log to the figures of a chopper's sheet.

Open `chop_analysis` first; `chop_rows` turns rows into numbers, `chop_looks` and
`chop_growth` find what happened to the edge, `handling` how the tool is held and shaped.
"""
