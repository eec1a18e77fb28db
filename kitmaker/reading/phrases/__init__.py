"""Cutting phrases: what a pattern says in words, understood as cuts.

Pure: a text goes in, cuts and findings come out. Every number of a line must have one part
to play (a count, a width, a length, a yield, a letter's number); a number left over, a
choice or a count that is not sure makes the line unread, never a guess.
"""

from kitmaker.reading.phrases.model import Cut, FabricFacts, Finding, Remark, Understood
from kitmaker.reading.phrases.reading import read_lines, says_a_cut
from kitmaker.reading.phrases.sentences import is_cutting

__all__ = [
    "Cut",
    "FabricFacts",
    "Finding",
    "Remark",
    "Understood",
    "is_cutting",
    "read_lines",
    "says_a_cut",
]
