"""The same measurements for people and programs: the command line."""
