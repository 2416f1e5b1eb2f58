"""The command line.

Comes in: words after ``splitpin``. Goes out: a job done, its result in words for people (or, with ``--json``,
in one line for machines) and an exit code: 0 done, 1 failed, 2 mistakes or wrong use, 130 interrupted.

Modules here import nothing heavy: a command fetches its job when it runs, so that help is instant.
"""
