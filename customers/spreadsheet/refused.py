"""Why a whole file is not taken."""


class SheetRefused(Exception):
    """The file cannot be read; its text is a sentence for the office."""
