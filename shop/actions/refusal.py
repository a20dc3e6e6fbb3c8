"""What is raised when a change cannot be made?"""


class Refused(ValueError):
    """The change cannot be made; the message is a sentence for the person who asked for it."""
