"""The cutting core: how few forms, or how short a length, yield the pieces.

It knows no files and no screen. ``problem`` states it, ``fewest`` and ``shortest`` answer
it, ``checker`` replays the answer without knowing how it was found.
"""

from kitmaker.cutting.desk import BoltAnswer, FormsAnswer, plan_forms, plan_length
from kitmaker.cutting.problem import Demand

__all__ = ["BoltAnswer", "Demand", "FormsAnswer", "plan_forms", "plan_length"]
