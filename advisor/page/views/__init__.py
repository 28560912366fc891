"""A file for each kind of page; each has ``routes(house) -> list of routes``."""
