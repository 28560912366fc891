"""``advisor bag`` behind the command: what is asked, what is computed, and how it is shown."""
