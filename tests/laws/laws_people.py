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
    "WOAH Manual of Diagnostic Tests for Aquatic Animals 2.3.6, koi herpesvirus (gill patches, "
    "sunken eyes, outbreaks at 16 to 28 °C; suspicion is notified)"
)
AVMA = "AVMA Guidelines for the Euthanasia of Animals 2020, S6 (fish); slow freezing not accepted"
CITES = (
    "CITES Transport guidelines Ps/2 1.6: sick fish get veterinary treatment as soon as possible"
)
_HANDLE = ("net", "cup", "release", "tub", "other_tank", "open_bag", "clean_water")


@law(STING, kind="must")
def those_who_handle_stinging_fish_are_warned(s: Situation, p: Plan) -> bool:
    """Before rays, lionfish or spined catfish are handled the words spine, sting or venom stand."""
    handled = p.place_of(*_HANDLE)
    if not s.kind.stings or handled is None:
        return True
    before = (*(line.text for line in p.lines[: handled + 1]), *p.asides)
    danger = re.compile(r"\bsting|\bspin(e|es|y)\b|\bvenom|\bbarb\b(?! )", re.IGNORECASE)
    return any(danger.search(text) for text in before)


@law(STING, kind="must")
def first_aid_for_a_sting_is_told(s: Situation, p: Plan) -> bool:
    """Where rays, lionfish or other venomous kinds are handled, what helps a stung hand is told."""
    venom = s.kind.stings and not s.kind.net_spines  # the spines of most catfish only wound
    if not venom or not p.any_of(*_HANDLE):
        return True
    return p.says(r"\bhot water\b|\bdoctor\b|\bhospital\b|\bambulance\b|\bmedical help\b")


@law(BOXFISH, kind="must")
def boxfish_poison_is_told(s: Situation, p: Plan) -> bool:
    """With boxfish in a bag or in distress the plan says that they can poison the water."""
    if not s.kind.poisons_water or not (s.in_bag or s.distress):
        return True
    own = (
        r"\bostracitoxin|\b(boxfish|cowfish|trunkfish|skin|slime|mucus|these fish|they|its?|fish)\b"
        r"[^.;]*\b(poison|toxi)|\b(poison|toxi)\w*[^.;]*\b(skin|slime|mucus|boxfish|cowfish)\b"
    )
    shown = (*(line.text for line in p.lines), *p.asides, *p.vet)
    parts = (part for text in shown for part in re.split(r"[.;]", text))
    other = re.compile(r"\b(ammonia|chlorin\w*|nitrite|copper)\b", re.IGNORECASE)
    return any(re.search(own, x, re.IGNORECASE) and not other.search(x) for x in parts)


@law(FHI, kind="must")
def suspicion_of_the_koi_virus_is_told(s: Situation, p: Plan) -> bool:
    """Koi failing with white gill patches or sunken eyes, not read outside 15-28 °C, are told."""
    signs = s.seen & {"white_gill_patches", "sunken_eyes"}
    failing = s.dead or s.down or s.distress or len(signs) > 1
    if s.kind.id != "koi_carp" or not signs or not failing:
        return True
    read = s.present.value("temperature_c")
    if read is not None and not 15.5 <= read <= 28:
        return True
    return p.says(r"authorit|inspectorate|state veterinarian")


@law(FHI)
def koi_under_suspicion_are_not_sent_on(s: Situation, p: Plan) -> bool:
    """No line sends carp under suspicion, or fish from their water, to other people or ponds."""
    if not s.kind.carp_family or not s.seen & {"white_gill_patches", "sunken_eyes"}:
        return True
    sends = re.compile(
        r"\b(sell|return|send|give)\b(?![^.;]*\b(photo|picture|film|video|report|"
        r"reading|list|letter|note|sample)\w*)[^.;]*\b(back|away|customer|supplier|shop)\b"
    )
    orders = (c.text for x in p.lines for c in x.parts if c.mood == "order")
    return not any(sends.search(text) for text in orders)


@law(f"{FHI}: fresh or chilled samples; {PRACTICE}")
def the_dead_of_a_suspicion_are_not_frozen(s: Situation, p: Plan) -> bool:
    """Koi that died with signs of the virus are kept cool for the sampler, not frozen."""
    if s.kind.id != "koi_carp" or not s.seen & {"white_gill_patches", "sunken_eyes"}:
        return True
    orders = (c.text for x in p.lines for c in x.parts if c.mood in ("order", "if"))
    return not any(
        re.search(r"\b(freeze|deep-freeze|in(to)? (the|a) freezer)\b", t) for t in orders
    )


@law(f"{CITES}; {PRACTICE}", kind="must")
def many_dying_fish_bring_a_vet(s: Situation, p: Plan) -> bool:
    """Where a third of the fish are down or dead, a veterinarian is called or asked."""
    total = s.count or (s.normal or 0) + s.down + s.dead
    if s.place == "unknown" or total < 3 or (s.down + s.dead) / total < 0.33 or not s.distress:
        return True
    calls = r"\b(call|ring|phone|telephone|tell|ask|see|get|book|fetch)\b[^.;]*"
    return p.says(calls + r"\b(vet(erinar\w+)?|fish health|inspectorate|authority|laboratory)\b")


@law(AVMA)
def killing_is_humane_or_not_advised(s: Situation, p: Plan) -> bool:
    """No line orders killing without a vet or an accepted way, nor ever by cold, drain or air."""
    cruel = re.compile(r"\b(freez\w+|flush\w*|down the (toilet|drain) alive|suffocat\w+)\b")
    orders = [(x, c) for x in p.lines for c in x.parts if c.mood in ("order", "if")]
    # A pipe is flushed and a sample frozen; a fish is neither, whatever water it lies in.
    thing = re.compile(
        r"\bflush\w*\b[^.;]*\b(water|mains|pipe|hose|line|net)s?\b|"
        r"\bfreez\w+ (?:an? |the |some |one )?(?:\w+ )?(bottle|sample|dead|pack)"
    )
    alive = re.compile(
        r"\b(flush|freez)\w* (?:away )?(?:the |these |those |it|them)? ?(?:weak |sick |worst )?"
        r"(?:fish|it|them|ones?)\b"
    )
    if any(alive.search(c.text) for _, c in orders):
        return False
    if any(cruel.search(c.text) and not thing.search(c.text) for _, c in orders):
        return False
    accepted = re.compile(r"\bvet|overdose|an[ae]+sthetic|humane|clove|eugenol", re.IGNORECASE)
    return all(accepted.search(line.text) for line in p.orders("kill"))


@law("angelsplus.com/ArticleColdWeather.htm: chilled or drugged fish lie as if dead and revive")
def fish_that_may_live_are_not_given_up(s: Situation, p: Plan) -> bool:
    """Chilled or sedated fish that lie still are not ordered killed or thrown away as dead."""
    chilled = s.present.read_at_most("temperature_c", (s.kind.cold_injury_c or -9) + 2)
    still = chilled or s.yes("box_arrived_cold") or s.said("sedative") == "yes"
    away = re.compile(r"\b(throw|discard|bin|dump)\b[^.;]*\b(still|limp|motionless|lie|lying|"
                      r"unresponsive|not mov\w+)\b")  # fmt: skip
    orders = [c.text for x in p.lines for c in x.parts if c.mood == "order"]
    return not still or not (p.any_of("kill") or any(away.search(text) for text in orders))


@law(PRACTICE)
def a_second_person_is_not_asked_of_one_alone(s: Situation, p: Plan) -> bool:
    """Someone who is alone is not told to use a second person."""
    if "second_person" not in s.lacks:
        return True
    return not any(
        re.search(
            r"\b(second|other|another) person\b|\bsomeone else\b|\bhelper\b|"
            r"\b(have|get|need|ask|keep|leave) (a|one) person\b",
            x.text,
            re.I,
        )
        for x in p.lines
    )


@law(f"{PRACTICE}: nothing living goes into a stream")
def no_fish_or_bag_water_into_a_stream(s: Situation, p: Plan) -> bool:
    """No line pours bag water or fish into a stream, sea, gutter or drain of rain water."""
    pond = "" if s.kind.carp_family else r"|garden pond"  # what koi and goldfish are bought for
    wild = re.compile(r"\b(pour|tip|release|empty|let|throw|put|drain)\b[^.;]*\b(?:in)?to (a|the) "
                      r"(stream|river|lake|sea(?! ?water)|canal|gutter|street|ditch|"
                      rf"storm drain{pond})\b")  # fmt: skip
    orders = (c.text for x in p.lines for c in x.parts if c.mood in ("order", "if"))
    return not any(wild.search(text) for text in orders)
