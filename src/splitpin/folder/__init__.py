"""The film on disk.

Comes in: the path of a film folder (plain TOML, pictures and sounds). Goes out: a frozen
:class:`~splitpin.folder.load.FilmFolder` with every document read, every picture and sound measured from its
header (pixels, millimetres a pixel, samples), and every mistake at once: file, line, what was found, what was
expected, what to do. Edits go back as values with an inverse, written atomically, comments and order kept.
"""
