"""All wording and drawing on the terminal. Nothing here computes or decides."""
