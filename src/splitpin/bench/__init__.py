"""The workbench: the whole job on one desk, in a browser on this computer.

In come requests of a page, out go answers in JSON, pictures and sounds. Routes only translate: what is asked
for is done by ``jobs``, and everything that the desk does, the library and the command line can do. The page
knows no kinematics: rows of the sheet come to it with a matrix for each piece.
"""
