"""Why something was said, what would change it, and how firm it stands.

>>> import advisor
>>> from advisor.explain import study, why
>>> case = advisor.Case()
>>> from advisor.advice.assess import default_reasoner
>>> told = why(study(case, default_reasoner()), ["nitrite"])
>>> told.statements[0].kind, told.statements[0].word
('cause', 'unlikely')
"""

from __future__ import annotations

from advisor.explain.audit_form import Audit, Comparison, ConditionGround, Statement, Weighed
from advisor.explain.study import Study, study
from advisor.explain.why import audit, everything_shown, first_things, why

__all__ = [
    "Audit",
    "Comparison",
    "ConditionGround",
    "Statement",
    "Study",
    "Weighed",
    "audit",
    "everything_shown",
    "first_things",
    "study",
    "why",
]
