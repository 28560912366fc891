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

from typing import TYPE_CHECKING, Any

from advisor.errors import AdvisorError
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

_HOMES = {
    "Case": "advisor.case",
    "load_case": "advisor.advice.facts.read_case",
    "save_case": "advisor.case",
    "RuleBase": "advisor.rulebase",
    "load_rulebase": "advisor.rulebase",
    "Reasoner": "advisor.advice.reasoner",
    "assess": "advisor.advice.assess",
    "hear": "advisor.ask.hear",
}


def __getattr__(name: str) -> Any:
    """Import a part when it is first asked for, so that ``import advisor`` stays cheap."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'advisor' has no attribute {name!r}")
