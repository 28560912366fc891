"""``advisor water`` behind the command: what people type, the sums, and how they are shown."""
