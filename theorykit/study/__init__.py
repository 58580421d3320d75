"""Practice: what the reader keeps and comes back to."""
