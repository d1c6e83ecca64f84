"""Do whole study folders, made from physics alone, get true answers from the commands?

Three worlds made by hands that had not read the program. ``two_tools_folder.write_two_tools``
makes two choppers that dull, alike or unlike; ``read_once_folder.write_read_once`` makes a wear
study whose edge width is read once a stage; ``changed_rolls_folder.write_changed_rolls`` makes one
whose rolls of rope ran out within the runs. Each folder holds what its maker would have typed, and
``truth.json``. ``judge_two_tools``, ``judge_read_once`` and ``judge_changed_rolls`` put the
commands to them.
"""
