"""One file per command; each has ``add(commands)`` and ``run(args) -> int``.

Heavy imports stand inside ``run``, so that help and the first question come at once.
"""
