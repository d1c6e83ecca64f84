"""All that touches the disk: tables, records, protocols, logs, pictures, and whole writes.

Open `workspace` for a study's folder, `records` for study.toml and `toml_edit` for changing it,
`logs` and `chop_log` for readings, `journal` for what the bench appends, `images` for pictures.
"""
