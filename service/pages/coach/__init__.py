"""The coach's pages: review, athletes, the planner, agreement."""
