"""Pages on photographs: measured, looked at, set right.

Open `photographs_page` first; `one_photograph` shows one, `marking` sets it right,
`scale_forms` asks for its scale, `loose_pictures` serves pictures of no study.
"""
