"""Do whole study folders, made from physics alone, get true answers from the commands?

Two worlds made by a hand that had not read the program. ``two_tools_folder.write_two_tools``
makes two choppers that dull, alike or unlike; ``read_once_folder.write_read_once`` makes a wear
study whose edge width is read once a stage. Each folder holds what its maker would have typed, and
``truth.json``. ``judge_two_tools`` and ``judge_read_once`` put the commands to them.
"""
