"""What a typed line is taken to mean: facts in stored units and ids, and what is asked back.

One line may answer several questions. What is not understood stays unknown and is asked for;
nothing becomes zero, none, yes or another lot that was not said.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.case import Case


def hear(
    question_id: str, text: str, case: Case | None = None, *, now: datetime | None = None
) -> dict[str, Any]:
    """What ``text`` means, typed at a question of the rule base.

    question_id : a question's id ("counts", "kinds", ...); one nobody knows raises AdvisorError
    case        : the delivery so far: shares and "all" need how many fish came
    now         : the local time, for times of the clock (default: this moment)

    Keys, each only where something was heard: ``signs_seen``, ``signs_not_seen``,
    ``signs_eased`` (less of it than before: neither seen anew nor gone), ``counts`` (dead, down,
    normal), ``history`` (item -> answer), ``place`` (closed_bag, open_bag, tub, tank),
    ``lots``, ``readings`` (water, parameter, value, low, high, limit, kit, entered), and
    fields of the case in hours, litres, grams, days, degrees (``hours_sealed``, ``at_hours``: out
    of the bag for so long, ``bag_open_hours``: still in the opened bag, ``bag_water_l``, ...).
    ``unknown``: the person does not know. ``nothing``: none of the lines of the question.
    ``ask_back``: questions that must be answered first; what they are about is in no other key but
    ``dead_said`` (said, held: heads that may be more than the dead on file, or all of them).
    ``not_understood``: words that mean nothing here.
    """
    from advisor.advice.reasoner import default_reasoner
    from advisor.ask.hear.listen import listen

    base = default_reasoner().base
    return listen(question_id, text, case, base, now or datetime.now())
