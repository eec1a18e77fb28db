"""Cutting phrases: what a pattern says in words, understood as cuts.

Pure: a text goes in, cuts and findings come out. Every word that counts, measures, cuts or
puts in doubt is read by exactly one phrase; a word left over, a choice or a count that is
not sure makes the sentence a question, never a guess.
"""

from kitmaker.reading.phrases.model import Cut, FabricFacts, Finding, Remark, Understood
from kitmaker.reading.phrases.reading import read_lines
from kitmaker.reading.phrases.sentences import is_cutting, says_a_cut

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
