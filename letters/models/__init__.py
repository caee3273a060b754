from letters.models.letter import Letter, LetterState
from letters.models.link import Link
from letters.models.sender import Sender
from letters.models.stops import BadAddress, Stop

__all__ = ["BadAddress", "Letter", "LetterState", "Link", "Sender", "Stop"]
