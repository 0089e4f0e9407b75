"""The committed clips, one recipe each."""

from sample_clips.recipes.legs import LEGS
from sample_clips.recipes.level import LEVEL
from sample_clips.recipes.pulling import PULLING
from sample_clips.recipes.pushing import PUSHING

RECIPES = {recipe.name: recipe for recipe in (*PUSHING, *PULLING, *LEGS, *LEVEL)}

__all__ = ["RECIPES"]
