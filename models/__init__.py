"""What things are, what should be, and what it costs. No web, no database, no pixels."""
