"""Rule-based advice for fish that arrive stressed in sealed bags.

The same reasoning the ``advisor`` command runs, for a fish room's own programs::

    import advisor

    case = advisor.load_case("delivery.toml")     # strict; AdvisorError says what to mend
    result = advisor.assess(case)                 # advisor.advice.results.Assessment, frozen
    for lot in result.lots:
        print(lot.headline)
        for cause in lot.causes[:3]:
            print(cause.standing, cause.name, cause.decibans)
        for action in lot.actions:
            print(action.when, action.text, [a.working for a in action.amounts])
    print(result.model_dump_json(indent=2))       # the published JSON form

``hear("counts", "2 doa, rest fine", case)`` says what a typed line means, in stored units and
ids, what was not understood, and what has to be asked back; the session uses it alone.
``assess(case, until_hours=1)`` uses only what was known one hour after receipt.
``load_rulebase(folder)`` and ``Reasoner.of(base)`` run another set of rules.
Errors meant for a person are ``AdvisorError``. Causes, weights and words are
judgement; nothing here replaces a veterinarian.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.errors import AdvisorError
from advisor.first_use import parts_of
from advisor.version import VERSION as __version__

if TYPE_CHECKING:
    from advisor.advice.assess import assess
    from advisor.advice.facts.read_case import load_case
    from advisor.advice.reasoner import Reasoner
    from advisor.ask.hear import hear
    from advisor.case import Case, save_case
    from advisor.rulebase import RuleBase, load_rulebase

__all__ = [
    "AdvisorError",
    "Case",
    "Reasoner",
    "RuleBase",
    "__version__",
    "assess",
    "hear",
    "load_case",
    "load_rulebase",
    "save_case",
]

__getattr__, __dir__ = parts_of(
    __name__,
    {
        "advisor.case": "Case save_case",
        "advisor.advice.facts.read_case": "load_case",
        "advisor.advice.assess": "assess",
        "advisor.advice.reasoner": "Reasoner",
        "advisor.ask.hear": "hear",
        "advisor.rulebase": "RuleBase load_rulebase",
    },
)
