"""Eight sessions typed as people type: how soon a useful step, how soon settled, how long.

    python -m tests.benchmarks.typed_sessions [NAME ...] [--screen]

Each person knows a few things and says them in their own words when asked; everything else is
Enter. Counted are prompts answered (each reading and follow-up is one) until the first step or
card stands on the screen, prompts until the session says that it is done, and lines of an
80-column terminal that went by. The people are invented; not a test.
"""

from __future__ import annotations

import io
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.ask.records import Ask, Keep, Show
from advisor.ask.session import session
from advisor.case import Case
from advisor.screens.session.show_yielded import draw, draw_question
from advisor.screens.session.talk import Talk

#: Question, or "question reading", or "follows" alone -> what is typed there.
Said = Mapping[str, str]
KITS = {
    "ph tank": "7.4", "ph bag": "6.5", "tank_for_opening tank pH": "7.4",
    "tank_for_opening tank alk": "6 dKH", "hardness tank alk": "6 dKH",
    "hardness tank hard": "9 dGH", "ammonia_nitrite tank total": "0",
    "ammonia_nitrite tank nitrite": "0", "kit": "drops", "basis": "1",
    "kits_at_hand": "ph, ammonia, nitrite, kh",
}  # fmt: skip
PEOPLE: dict[str, Said] = {
    "shut bags, one kind": {
        **KITS, "where_are_they": "shut bags", "breathing_and_posture": "all swim normally",
        "hours_sealed": "abt 30 hrs", "kinds": "40 guppys in 2 bags", "counts": "none dead",
        "thermometer tank": "25", "thermometer bag": "22 c", "bag_water": "5 L", "bags": "2",
        "gas_in_bag": "oxygen", "air_on_the_way": "18-22", "tank_volume": "200 l",
        "changed_last_day": "0", "filter_state": "1", "hand_test": "they turn away",
        "way": "1", "tank_has": "1 u", "skin": "0", "gills": "0", "box_to_the_hand": "0",
        "deaths": "0", "already_added": "0", "out_of_the_bag": "0", "tank_at_hand": "yes",
    },
    "shut bags, four kinds": {
        "where_are_they": "1", "breathing_and_posture": "looks ok", "hours_sealed": "26",
        "kinds": "50 neons, 12 platies, 6 clown loaches, 20 cherry barbs",
        "thermometer tank": "25", "changed_last_day": "no", "together": "alike", "way": "1",
        "tank_volume": "400 l", "bag_water": "4", "bags": "2", "gas_in_bag": "oxygen",
    },
    "opened bag, gasping": {
        "where_are_they": "opened bag", "breathing_and_posture": "gasping, gills going fast",
        "kinds": "30 rummynose", "arrived": "20 min ago", "counts": "none dead 4 down",
    },
    "gasping in the tank, with kits": {
        **KITS, "where_are_they": "poured in the tank",
        "breathing_and_posture": "gulping air at the top", "hours_sealed": "36h",
        "kinds": "25 platys", "arrived": "half an hour", "counts": "1 dead 6 down",
        "when_it_began": "within the hour", "changed_last_day": "0", "thermometer tank": "26",
        "tank_volume": "120 l", "filter_state": "running for months", "skin": "0", "gills": "0",
        "who_is_ill": "only the new ones", "deaths": "0", "hand_test": "they turn slowly",
        "tank_has": "airstone, other fish", "residents_well": "yes", "already_added": "0",
        "out_of_the_bag": "bag water went in", "box_to_the_hand": "0", "behaviour": "0",
    },
    "resting fish": {
        "where_are_they": "in the tank, netted", "breathing_and_posture": "lying on the bottom",
        "hours_sealed": "20 h", "kinds": "8 corydoras", "arrived": "2 h", "counts": "0",
        "changed_last_day": "0", "thermometer tank": "24.5", "skin": "0", "gills": "normal",
        "hand_test": "they swim off", "when_it_began": "0", "deaths": "0", "behaviour": "0",
        "out_of_the_bag": "0", "since_arrival": "0", "tank_volume": "180",
    },
    "brown gills": {
        **KITS, "where_are_they": "in the tank", "breathing_and_posture": "breathing fast",
        "kinds": "15 swordtails", "arrived": "4 days ago", "counts": "2 dead 3 down",
        "thermometer tank": "25", "gills": "brown", "ammonia_nitrite tank nitrite": "2",
        "ammonia_nitrite tank total": "0.5", "tank_volume": "100 l", "filter_state": "new",
        "salinity tank": "0", "chloride": "20", "skin": "0", "changed_last_day": "0",
    },
    "white grains": {
        "where_are_they": "in the tank", "breathing_and_posture": "they rub",
        "kinds": "10 clown loach", "arrived": "6 days", "counts": "0", "skin": "white spots",
        "thermometer tank": "24", "behaviour": "flashing", "tank_volume": "60 gal",
        "changed_last_day": "0", "tank_has": "plants, shrimp", "scrape": "no",
    },
    "knows nothing": {"where_are_they": "7"},
}  # fmt: skip


@dataclass(frozen=True)
class Played:
    """Prompts until a first step, prompts and questions in all, lines shown, and the screen."""

    first: int | None
    prompts: int
    questions: int
    lines: int
    said_settled: bool
    screen: str
    case: Case


def typed(ask: Ask, said: Said) -> str:
    """What this person types at a prompt; Enter where they know nothing."""
    part = ask.part.removeprefix("the ")
    for key, words in said.items():
        question, _, reading = key.partition(" ")
        here = part.startswith(reading) if reading else not part
        own = bool(reading) or ask.follows in ("", "part", "box")
        if question == ask.question and here and own:
            return "" if ask.again else words
    return said.get(ask.follows, "") if ask.follows else ""


def play(said: Said, reasoner: Reasoner, most: int = 300) -> Played:
    """One session to its end, read on a screen of 80 columns."""
    now = datetime(2026, 3, 2, 12, 0)
    screen = io.StringIO()
    talk = Talk(screen, [], width=80)
    steps = session(Case(), reasoner, lambda: now)
    reply: str | None = None
    first: int | None = None
    prompts = questions = 0
    case = Case()
    try:
        while prompts < most:
            step = steps.send(reply)
            reply = None
            if isinstance(step, Show):
                before = len(screen.getvalue())
                for block in step.blocks:
                    draw(talk, block)
                shown = screen.getvalue()[before:]
                heads = ("DO NOW", "FOR NOW", "DO NOT CUT", "OPENED BAG", "NET ", "TUB")
                if first is None and any(head in shown for head in heads):
                    first = prompts
            elif isinstance(step, Keep):
                case = step.case
            else:
                draw_question(talk, step)
                prompts += 1
                questions += bool(step.number) and not step.again
                reply = typed(step, said)
                talk.say(f"> {reply}")
                now += timedelta(seconds=20)
    except StopIteration:
        pass
    text = screen.getvalue()
    return Played(
        first, prompts, questions, text.count("\n"), "ettled: nothing" in text, text, case
    )


def main(arguments: Sequence[str]) -> None:
    names = [a for a in arguments if not a.startswith("-")] or list(PEOPLE)
    reasoner = default_reasoner()
    print(f"{'session':<32}{'first step':>11}{'prompts':>9}{'questions':>11}{'lines':>7}")
    for name in names:
        played = play(PEOPLE[name], reasoner)
        row = (played.first, played.prompts, played.questions, played.lines)
        settled = "  settled" if played.said_settled else ""
        print(f"{name:<32}{row[0]!s:>11}{row[1]:>9}{row[2]:>11}{row[3]:>7}{settled}", flush=True)
        if "--screen" in arguments:
            folder = Path(tempfile.gettempdir()) / "typed_sessions"
            folder.mkdir(exist_ok=True)
            (folder / f"{name.replace(' ', '_')}.txt").write_text(played.screen, "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
