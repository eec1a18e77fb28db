"""One lexer and one lexicon for every text: cutting lines, amounts, notes, titles, headings.

A word that is added to :mod:`.lexicon` is known wherever words are read.
"""
