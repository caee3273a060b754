"""What stands in the way of reading a file."""


class ReadingsRefused(ValueError):
    """A file that cannot be used. The message is a sentence for the person who sent it."""
