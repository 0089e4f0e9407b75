"""What to change, from what was measured: one sentence for each missed check."""

from models.advice.advise import advise, advise_dose, advised

__all__ = ["advise", "advise_dose", "advised"]
