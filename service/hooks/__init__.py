"""Telling a gym's program tool what happened: what is written down, where it may go, how it is signed."""
