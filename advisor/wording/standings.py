"""Where a cause stands, in words."""

STANDING = {
    "very_likely": "very likely",
    "likely": "likely",
    "possible": "possible",
    "unlikely": "unlikely",
}
