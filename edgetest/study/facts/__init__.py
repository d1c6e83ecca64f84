"""Facts of a study entered one at a time, as typed.

`fact_fields` says which facts there are, `fact_values` reads what was typed, `set_facts`
puts it into study.toml, keeps what cannot stand there yet, and takes changes back.
"""
