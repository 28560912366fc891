"""A case read with every word of it looked up in the rule base."""

from __future__ import annotations

import os

from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.case import Case
from advisor.case import load_case as read_case
from advisor.rulebase import RuleBase, load_rulebase


def load_case(path: str | os.PathLike[str], base: RuleBase | None = None) -> Case:
    """The case kept in a TOML file, its signs, history, groups and ids known to the rules.

    base : the rules to look words up in; the shipped ones when None

    Raises AdvisorError, or ManyFaults with one sentence for each fault: the field, what stands
    there and the nearest word that is known.
    """
    case = read_case(path)
    check_vocabulary(case, base or load_rulebase(), os.path.basename(os.fspath(path)))
    return case
