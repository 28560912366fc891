"""The 25 questions people ask first (tests/reference/speech.toml): each is met within the flow.

For each: what answers it (a question of the session, or an action, note, notice or computed value
of the plan) and a few facts with which it must come up.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from advisor.advice.assess import assess, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.next_question import askable
from advisor.case import loads_case

SPEECH = tomllib.loads(
    (Path(__file__).parents[1] / "reference" / "speech.toml").read_text(encoding="utf-8")
)
ASKED = [entry["text"] for entry in SPEECH["people_ask"]]

OUT = '[[lot]]\nid="a"\nspecies="{kind}"\ncount=20\nsealed="no"\nreleased_at_hours=0\n'
LOOK = "[[observation]]\nat_hours={hours}\nseen={seen}\nnot_seen={absent}\n"


def out(kind: str = "guppy", seen: str = "[]", hours: float = 2, absent: str = "[]") -> str:
    """Fish out of the bag, looked at once."""
    return OUT.format(kind=kind) + LOOK.format(seen=seen, hours=hours, absent=absent)


GASPING = '["gasping_at_surface", "rapid_gill_movement"]'
SPOTS = '["white_spots", "flashing_rubbing", "signs_after_first_day"]'
OPENED = '[transit]\nhours_sealed=30\n[[lot]]\nid="a"\nspecies="guppy"\ncount=20\nsealed="no"\n'
SHUT = '[transit]\nhours_sealed=30\n[[lot]]\nid="a"\nspecies="guppy"\ncount=20\nsealed="yes"\n'
AMMONIA = (
    '[receiving]\nvolume_l=200\nfilter="new"\n' + out(seen=GASPING)
    + "tank={tan_mg_l=4.0, ph=8.2, temperature_c=26.0}\n"
)  # fmt: skip

#: Question -> (what answers it, facts with which it must come up).
ANSWERS: dict[str, tuple[tuple[str, ...], str]] = {
    "Is it dead or can it come back?": (
        ("question:hand_test", "do_not_count_cold_fish_dead", "cold-is-not-dead"),
        "[history]\nbox_arrived_cold=true\n" + out(seen='["unresponsive"]', hours=0.2),
    ),
    "Is lying like that normal for this kind?": (
        ("resting-kind",),
        out("panda corydoras", '["lying_on_bottom_upright"]'),
    ),
    "What do I do in the next ten minutes?": (("air_tank",), out(seen=GASPING)),
    "Should I take it out of the bag or tank now?": (
        ("tub_while_tank_unread",),
        OPENED + LOOK.format(seen='["weak_response"]', hours=0.1, absent="[]"),
    ),
    "Can I put the others in, or is the water bad?": (
        ("question:ammonia_nitrite", "read_tank_before_release"),
        SHUT,
    ),
    "Is it catching? Will my old fish get it?": (
        ("keep_tools_apart",),
        '[receiving]\nresidents="yes"\n' + out(seen=SPOTS, hours=150),
    ),
    "Did I do something wrong, or was it sold sick?": (("question:when_it_began",), out()),
    "Can I claim it back, and what proof is wanted?": (
        ("question:dead_on_arrival", "count_and_photograph"),
        SHUT + LOOK.format(seen='["signs_before_bag_opened"]', hours=0, absent="[]"),
    ),
    "Is it the water? The test looks fine.": (
        ("fine-without-a-number",),
        "[history]\ntested_fine_without_number=true\n" + out(),
    ),
    "What does this number on the kit mean for my fish?": (("tank_nh3_n_mg_l",), AMMONIA),
    "Float, drip or net straight over?": (
        ("keep_shut", "read_tank_before_release", "do_not_drip_into_bag"),
        SHUT,
    ),
    "How long until it should look right?": (("look_again_15_min",), out(seen=GASPING, hours=0.2)),
    "Do I feed it tonight?": (("hold_food",), AMMONIA),
    "Which medicine do I buy, and does the shop have it?": (
        ("hold_medicines", "ask-white-spot"),
        out("clown loach", SPOTS, 150),
    ),
    "Can I add this bottle I already have?": (
        ("question:already_added", "ask_what_was_added"),
        AMMONIA,
    ),
    "Should I change water, how much, and can it make things worse?": (
        ("change_water_for_ammonia",),
        AMMONIA,
    ),
    "Do I need a second tank, and is a bucket enough?": (
        ("quarantine_tank_ready",),
        '[receiving]\nresidents="yes"\n[history]\nquarantine_tank=false\n' + SHUT,
    ),
    "Heater up or down?": (
        ("cool_slowly",),
        out("guppy", GASPING, 3) + "tank={temperature_c=35.0}\n",
    ),
    "Lights on or off?": (("dim_and_quiet",), "[history]\nbright_light=true\n" + out()),
    "Why did only one kind or only the new ones die?": (
        ("question:who_is_ill", "newcomer-dying-proves-nothing"),
        out(seen='["newcomers_only_affected"]', hours=30),
    ),
    "When is it safe to put survivors back or buy more?": (
        ("quarantine_no_new_fish",),
        out("clown loach", SPOTS, 150),
    ),
    "Is it safe to use the same net and filter on my other tank?": (
        ("keep_tools_apart",),
        out("clown loach", SPOTS, 150),
    ),
    "Do I have to report this or tell other owners?": (
        ("question:law", "report_suspicion"),
        "[history]\ncarp_mixed_lately=true\n"
        + out("koi", '["white_gill_patches", "sunken_eyes", "sudden_deaths"]', 200)
        + "tank={temperature_c=22.0}\n",
    ),
    "What killed them, so it does not happen again?": (
        ("question:deaths", "keep_water_sample"),
        out(seen='["sudden_deaths", "all_species_at_once"]', hours=30),
    ),
    "Must I put it out of its misery, and how?": (
        ("suffering",),
        out(seen='["lying_on_side", "unresponsive", "ulcers"]', hours=150),
    ),
}


def test_every_question_people_ask_first_is_listed_here() -> None:
    assert set(ANSWERS) == set(ASKED)
    assert len(ASKED) == 25


@pytest.mark.parametrize("text", ASKED)
def test_it_is_met_within_the_flow(text: str, reasoner: Reasoner) -> None:
    wanted, facts = ANSWERS[text]
    case = loads_case('format = "arrival-case-1"\n' + facts)
    lot = assess(case, reasoner).lots[0]
    met = {action.id for action in lot.actions}
    met |= {note.id for note in (*lot.vet, *lot.notices)}
    met |= {fact.name for fact in lot.computed}
    may = askable(case, lots_of(case)[0], reason(case, lots_of(case)[0], reasoner), reasoner)
    met |= {f"question:{question.id}" for question in may}
    assert set(wanted) <= met
