"""Why something was said, what would change it, and how firm it stands.

>>> import advisor
>>> from advisor.audit import study, why
>>> case = advisor.Case()
>>> from advisor.assess import default_reasoner
>>> told = why(study(case, default_reasoner()), ["nitrite"])
>>> told.statements[0].kind, told.statements[0].word
('cause', 'unlikely')
"""

from __future__ import annotations

from advisor.audit.model import Audit, Comparison, Ground, Statement, Weighed
from advisor.audit.study import Study, study
from advisor.audit.why import audit, everything_shown, first_things, why

__all__ = [
    "Audit",
    "Comparison",
    "Ground",
    "Statement",
    "Study",
    "Weighed",
    "audit",
    "everything_shown",
    "first_things",
    "study",
    "why",
]
