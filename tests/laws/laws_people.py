"""Laws for people and the law of the land: stings, poison, notifiable disease, a humane end."""

from __future__ import annotations

import re

from tests.laws.law import PRACTICE, law
from tests.laws.plan import Plan
from tests.laws.situation import Situation

STING = (
    "healthline.com/health/lionfish-sting; Florida Museum account of the red lionfish (canreef.com "
    "91014): hot water to 45 °C, medical help; stingrays most of all"
)
BOXFISH = "Coral Magazine September 2017 p. 61-64: stressed boxfish poison the water of others"
FHI = (
    "practicalfishkeeping.co.uk, KHV now a notifiable disease: suspicion is reported; signs white "
    "gill patches, sunken eyes, 15 to 28 °C"
)
AVMA = "AVMA Guidelines for the Euthanasia of Animals 2020, S6 (fish); slow freezing not accepted"
CITES = (
    "CITES Transport guidelines Ps/2 1.6: sick fish get veterinary treatment as soon as possible"
)
_HANDLE = ("net", "cup", "release", "tub", "other_tank", "open_bag", "clean_water")


@law(STING, kind="must")
def those_who_handle_stinging_fish_are_warned(s: Situation, p: Plan) -> bool:
    """Before rays, lionfish or spined catfish are handled the words spine, sting or venom stand."""
    if not s.kind.stings or not p.any_of(*_HANDLE):
        return True
    return p.says(r"\bsting|\bspin(e|es|y)\b|\bvenom|\bbarb\b(?! )")


@law(BOXFISH, kind="must")
def boxfish_poison_is_told(s: Situation, p: Plan) -> bool:
    """With boxfish in a bag or in distress the plan says that they can poison the water."""
    if not s.kind.poisons_water or not (s.in_bag or s.distress):
        return True
    return p.says(r"\bpoison|\btoxi|\bostraci")


@law(FHI, kind="must")
def suspicion_of_the_koi_virus_is_told(s: Situation, p: Plan) -> bool:
    """Koi dying with white gill patches or sunken eyes at 15 to 28 °C are told to the authority."""
    signs = s.seen & {"white_gill_patches", "sunken_eyes"}
    warm = s.present.read_at_least("temperature_c", 15.5)
    if s.kind.id != "koi_carp" or not signs or not warm or s.dead == 0:
        return True
    if not s.present.read_at_most("temperature_c", 28):
        return True
    return p.says(r"authorit|inspectorate|state veterinarian")


@law(FHI)
def koi_under_suspicion_are_not_sent_on(s: Situation, p: Plan) -> bool:
    """No line sends carp under suspicion, or fish from their water, to other people or ponds."""
    if not s.kind.carp_family or not s.seen & {"white_gill_patches", "sunken_eyes"}:
        return True
    sends = re.compile(r"\b(sell|return|send|give)\b[^.;]*\b(back|away|customer|supplier|shop)\b")
    orders = (c.text for x in p.lines for c in x.parts if c.mood == "order")
    return not any(sends.search(text) for text in orders)


@law(f"{CITES}; {PRACTICE}", kind="must")
def many_dying_fish_bring_a_vet(s: Situation, p: Plan) -> bool:
    """Where a third of the fish are down or dead after release, a veterinarian is named."""
    total = s.count or (s.normal or 0) + s.down + s.dead
    if s.place != "tank" or total < 3 or (s.down + s.dead) / total < 0.33 or not s.distress:
        return True
    return bool(p.vet) or p.says(r"\bvet(erinar\w+)?\b")


@law(AVMA)
def killing_is_humane_or_not_advised(s: Situation, p: Plan) -> bool:
    """No line orders killing without a vet or an accepted way, nor ever by cold, drain or air."""
    cruel = re.compile(r"\b(freez\w+|flush\w*|down the (toilet|drain) alive|suffocat\w+)\b")
    orders = [(x, c) for x in p.lines for c in x.parts if c.mood in ("order", "if")]
    if any(cruel.search(c.text) and not re.search(r"water|mains", c.text) for _, c in orders):
        return False
    accepted = re.compile(r"\bvet|overdose|an[ae]+sthetic|humane|clove|eugenol", re.IGNORECASE)
    return all(accepted.search(line.text) for line in p.orders("kill"))


@law("angelsplus.com/ArticleColdWeather.htm: chilled or drugged fish lie as if dead and revive")
def fish_that_may_live_are_not_given_up(s: Situation, p: Plan) -> bool:
    """Chilled or sedated fish that lie still are not ordered killed or thrown away as dead."""
    still = s.yes("box_arrived_cold") or s.said("sedative") == "yes"
    return not still or not p.any_of("kill")


@law(PRACTICE)
def a_second_person_is_not_asked_of_one_alone(s: Situation, p: Plan) -> bool:
    """Someone who is alone is not told to use a second person."""
    if "second_person" not in s.lacks:
        return True
    return not any(
        re.search(
            r"\b(second|other|another|one) person\b|\bsomeone else\b|\bhelper\b", x.text, re.I
        )
        for x in p.lines
    )


@law(f"{PRACTICE}: nothing living goes into a stream")
def no_fish_or_bag_water_into_a_stream(s: Situation, p: Plan) -> bool:
    """No line pours bag water or fish into a stream, pond or storm drain."""
    wild = re.compile(r"\b(pour|tip|release|empty|let)\b[^.;]*\binto (a|the) (stream|river|lake|"
                      r"ditch|storm drain|garden pond)\b")  # fmt: skip
    orders = (c.text for x in p.lines for c in x.parts if c.mood in ("order", "if"))
    return not any(wild.search(text) for text in orders)
