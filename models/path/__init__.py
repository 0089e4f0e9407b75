"""What to prescribe next: the variants between what an athlete owns and what is out of reach, and when to move on."""
