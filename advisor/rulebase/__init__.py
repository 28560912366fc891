"""The rule base: models of its entries, reading, and checking."""

from __future__ import annotations

from advisor.rulebase.load import RuleBase, default_folder, load_rulebase

__all__ = ["RuleBase", "default_folder", "load_rulebase"]
