"""How things leave: by their time, because somebody wants them gone, or as a copy that is put by."""
