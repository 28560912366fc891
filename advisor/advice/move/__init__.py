"""Which bag first, how to move these fish, and may they go into that water."""
