"""Who comes in, how, and what they may do."""
