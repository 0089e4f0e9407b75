"""The resources, one router each."""
