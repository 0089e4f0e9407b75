"""The API: resources over HTTP, under /api/v1."""
