"""Clips that arrive: checked, freed of what they tell about place, device and people, kept, and queued for measuring."""
