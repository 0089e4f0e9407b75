"""What the API takes and gives: one file of pydantic models beside each router."""
