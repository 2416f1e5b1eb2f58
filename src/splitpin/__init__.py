"""splitpin: a cut-out film studio in a folder."""

__version__ = "0.1.0"
