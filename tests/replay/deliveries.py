"""Random but possible deliveries; the program draws them itself for ``replay --random``."""

from advisor.explain.replay.drawn import EXCLUDING, RANGES, delivery

__all__ = ["EXCLUDING", "RANGES", "delivery"]
