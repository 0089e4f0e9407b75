"""The commands of `plumbrep`, one file each."""
