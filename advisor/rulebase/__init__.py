"""The rule base: models of its entries, reading, and checking."""

from __future__ import annotations

from advisor.rulebase.base import RuleBase
from advisor.rulebase.load import default_folder, load_rulebase

__all__ = ["RuleBase", "default_folder", "load_rulebase"]
