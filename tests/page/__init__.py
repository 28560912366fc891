"""The page for phone and tablet."""
