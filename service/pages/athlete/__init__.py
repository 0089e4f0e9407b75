"""The athlete's pages: what is to be done today, filming it, and what came of it."""
