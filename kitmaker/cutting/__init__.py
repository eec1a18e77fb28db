"""The cutting core: how few forms, or how short a length, yield the pieces.

It knows no files and no screen. :mod:`~kitmaker.cutting.desk` is its counter: exact inches
in, exact inches out. Behind it :mod:`~kitmaker.cutting.problem` states the problem,
:mod:`~kitmaker.cutting.fewest` and :mod:`~kitmaker.cutting.shortest` answer it, and
:mod:`~kitmaker.cutting.bounds` proves how good the answer is.
"""
