"""The list of answers says of each lot what was told of that lot, and of no other."""

from __future__ import annotations

from advisor.advice.reasoner import Reasoner
from advisor.ask.answered import NOT_KNOWN, answers
from advisor.ask.given import GivenAnswers
from advisor.case import loads_case

THREE = """
[[lot]]
id = "neons"
species = "neon tetra"
count = 200
[[lot]]
id = "discus"
species = "discus"
count = 6
[[lot]]
id = "loaches"
species = "clown loach"
count = 8
[[observation]]
at_hours = 0.1
lot = "discus"
[observation.counts]
dead = 0
down = 3
[[observation]]
at_hours = 0.2
lot = "neons"
[observation.counts]
dead = 2
down = 15
[[observation]]
at_hours = 0.3
lot = "loaches"
seen = ["clamped_fins"]
[session]
answered = ["counts/neons", "counts/discus", "counts/loaches"]
unknown = ["counts/loaches"]
"""


def test_each_lot_has_its_own_heads(reasoner: Reasoner) -> None:
    case, base = loads_case(THREE), reasoner.base
    (name,) = (q.id for q in base.questions.values() if q.field == "look.counts")
    case = loads_case(THREE.replace("counts/", f"{name}/"))
    kept = {each.lot: each.kept for each in answers(case, base)}
    assert kept == {"neons": "15 down, 2 dead", "discus": "3 down, 0 dead", "loaches": NOT_KNOWN}
    given = GivenAnswers()
    for lot, words in (("neons", "15 down, 2 dead"), ("discus", "3 down, 0 dead")):
        given.on_file(f"{name}/{lot}", case, base)
        taken = given.taken_back(f"{name}/{lot}")
        assert taken is not None and taken.words == words, "offered to be kept"
    given.on_file(f"{name}/loaches", case, base)
    assert given.taken_back(f"{name}/loaches") is None
