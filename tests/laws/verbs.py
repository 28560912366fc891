"""The words by which a foreman knows an order: one small list for each act.

A pattern is matched against a clause or, where object and goal may stand apart, against the
joined order-clauses of a sentence. ``!`` before a verb's word (here: the group ``v``) demands
that it stands as a command: not after an article, a noun's owner or a subject ("a long drip
only keeps ..." orders no drip).
"""

from __future__ import annotations

import re
from functools import cache

_FISH = (
    r"(?:(?:all |all of |each of |every one of |any of )?(?:them|these|those|it|the|"
    r"your|her|him|this|"
    r"every|each|all)?\s*(?:sick |weak |living |marked |down |small\w* |shy\w* |sea |new |other |"
    r"few |worst )*(?:fish\w*|them|these|those|it|newcomers|living|shrimp\w*|snails?|animals?|"
    r"others|arrivals|lot|everyone|[a-z-]*(?:tetra|barb|guppy|guppi|molly|molli|betta|loach|koi|"
    r"goldfish|ram|discus|tang|ray|cory|corydora|platy|swordtail|rasbora|gourami|danio|oscar|"
    r"cichlid|puffer|pleco|clown|catfish|angel|eel|coral)\w*)|smallest|weakest|them)"
)
_TANK = (
    r"(?:(?:the|an?|its|their|your|this|that|aired|matched|ready|running|receiving|new|main|"
    r"show|own|well-aired|clean|warm|[a-z]+-aired|cycled|filtered|dim|dimmed)[ ,]+)*"
    r"(?:tank|rack|system|pond|vat|aquarium|receiving)\b(?!['’]s)"
)
_OTHER = (
    r"(?:another|other|second|spare|separate|different|well|quarantine|hospital|bare|holding)"
    r"(?: [\w-]+){0,2} (?:tank|system|one|water)\b"
)
_TUB = (
    r"\b(?:tub|tubs|bucket|basin|bowl|trug|crate|dish|tote|vessel|box of (?:clean|matched) water)\b"
)
_MOVE = (
    r"(?P<v>net|cup|scoop|move|lift|put|place|transfer|tip|pour|carry|take|bring|let|get|release|"
    r"ladle|dip|slip|ease|slide|hand)\b"
)
#: What a person reads: an instrument, a water, a bag or what is read of them.
_READ = (
    r"(?:thermometers?|kits?|meters?|probes?|strips?|hydrometer|refractometer|temperatures?|ph|"
    r"ammonia|nitrite|nitrate|chlorine|oxygen|salinity|salt|hardness|alkalinity|conductivity|"
    r"copper|sulfide|gas|carbon dioxide|chloride|waters?|tanks?|racks?|systems?|ponds?|tubs?|"
    r"bags?|taps?|readings?|numbers?|figures?|it|both|one)"
)
_NO_FISH = r"(?! (?:on |at )?(?:the |these |your |all )?(?:fish|them|newcomers)\b)"
_PARTS = {
    "warm": [
        r"^(?!.*\b(?:keep|kept|stay|stays|hold|leave)\b[^.]*\bwarm\b).*?(?P<v>warm|rewarm|heat)\b"
        r"(?![- ]water)(?! (?:up )?(?:the |its |their )?(?:tank|rack|system|pond|room|"
        r"receiving|new "
        r"water|tap))",
        r"(?P<v>raise)\b[^.]*\b(?:bag|tub|fish|them)\b[^.]*\b(?:to|by) \d+[\d.,]* ?(?:to \d+ )?°",
        r"(?P<v>lift|bring|turn|take)\b[^.]*\b(?:bag|tub|fish|them)\b[^.]*\b(?:up to|up by) \d",
        r"(?P<v>put|set|stand) (?:a |the )?(?:heat pack|hot water bottle|warm bottle)",
        r"(?P<v>raise|lift) (?:the |their |its )?(?:bag|tub)?(?:'s)? ?temperature",
    ],
    "warm_tank": [
        r"(?P<v>warm|heat|rewarm)\b (?:up )?(?:the |its |their )?(?:tank|rack|system|pond|"
        r"receiving)",
        r"(?P<v>raise|lift|bring) (?:the )?(?:tank|rack|system|pond|water|heater)\b[^.]*°",
        r"(?P<v>float) closed bottles of warm water",
        r"(?P<v>turn) (?:the )?heater (?:up|on|back on)",
        r"(?P<v>plug|switch) (?:in )?(?:the |a )?heater (?:in|on)",
        r"(?P<v>raise|lift) (?:the |its )?(?:tank|water)?(?:'s)? ?temperature",
    ],
    "cool": [
        r"(?P<v>cool|chill)\b(?! (?:the |its )?(?:tank|rack|system|pond|sample|dead|bottle|it$))"
        r"(?![- ]water)(?! kinds)",
        r"(?P<v>lower|reduce) (?:the |their )?(?:bag|tub)?(?:'s)? ?temperature",
        r"(?P<v>put|set|lay) [^.]*\b(?:ice|cold packs?)\b[^.]*\b(?:bag|box|tub|outside)",
    ],
    "cool_tank": [
        r"(?P<v>cool|chill) (?:down )?(?:the |its )?(?:tank|rack|system|pond)",
        r"(?P<v>turn) (?:the )?heater (?:down|off)",
        r"(?P<v>lower|reduce) (?:the )?(?:tank|water)(?:'s)? temperature",
    ],
    "release": [
        r"(?P<v>net|cup|scoop|ladle)\b[^.:;]*?\b(?:into|in|to|over to|across to)\b "
        rf"(?:a |an |the )?(?!{_OTHER})(?:straight )?{_TANK}(?! of\b)",
        rf"{_MOVE} {_FISH}\b[^.:;]*?\b(?:into|in|to|over to|across to)\b "
        rf"(?:a |an |the )?(?!{_OTHER})(?:straight )?{_TANK}(?! of\b)",
        r"(?P<v>net|cup|scoop|tip|move)\b[^.:;]{0,40}?\b(?:straight|directly|right|gently) "
        r"(?:over|across|in)\b(?! a)",
        r"(?P<v>net|cup|scoop)\b[^.:;]{0,40}\bover\b",
        rf"(?P<v>release) (?:{_FISH}|now|at once|straight)",
        r"(?P<v>let) (?:them|it|the fish|the (?:small|shy|weak|big|first)[\w ,]*) (?:out|"
        r"go|swim)\b",
        r"(?P<v>empty|tip) (?:the bag|it|them) (?:straight )?into the (?:tank|system|rack)",
    ],
    "other_tank": [
        rf"{_MOVE}[^.:;]*\b(?:into|in|to|over to)\b (?:an? |the )?{_OTHER}",
        r"(?P<v>use|set up|ready|fill) (?:an? )?(?:another|separate|quarantine|hospital|"
        r"other) tank",
        rf"(?P<v>into|to) (?:an? |the )?{_OTHER}",
        r"(?P<v>use|set up|ready|fill) (?:an? )?(?:vat|tank|tub|pond) of their own",
    ],
    "tub": [
        rf"(?:{_MOVE}|(?P<x>out of)\b)(?! (?:it|that|them) into a bucket)[^.;]*\b(?:into|"
        rf"in|to|over "
        rf"to)\b [^.;]{{0,60}}?{_TUB}",
        r"^(?:straight |at once |now )?(?:in|into|to) (?:an? |the |their own |its own "
        r")?[\w ,-]{0,50}?"
        rf"{_TUB}",
        r"(?P<v>tub) (?:them|it|the|these)\b",
    ],
    "clean_water": [
        rf"{_MOVE}[^.;]*\b(?:into|to)\b [^.;]{{0,40}}\b(?:clean|fresh|matched|sea|dechlorinated|"
        r"sound|good|unchlorinated|salt)\b[^.;]{0,30}\bwater\b",
        rf"(?:^|(?:{_FISH}) )(?:straight |now |at once )?out of (?:that|the|this|these|its|their)\b"
        r"[^.;]{0,20}\b(?:bag|bags|tank|water|tub)\b",
        rf"(?P<v>take|get|bring|lift|move) (?!it\b|hose)(?!the hose){_FISH} out\b",
    ],
    "open_bag": [
        r"(?P<v>open|cut|untie|slit|unseal|undo) (?:up |open )?(?:the |that |this |these |"
        r"one |each |a |"
        r"all |those |its |your |every |any )*(?:[\w-]+ )?(?:bags?|one|knots?|tops?|"
        r"necks?|it|them)\b"
        r"(?! free)",
        r"^(?P<v>open) (?:at once|now|first|straight)\b",
        r"(?P<v>take) the bag with[^.]*first",
    ],
    "empty_bag": [r"(?P<v>empty) (?:it|the bag|that bag|each|one)"],
    "keep_shut": [
        r"(?P<v>keep|leave|let)\b(?![^.;]{0,40}\b(?:lids?|covers?|hoods?|doors?|windows?|taps?|"
        r"valves?|tanks?)\b)[^.;]{0,40}\b(?:shut|closed|sealed|tied|unopened)\b",
        r"^(?!.*\b(?:lid|cover|hood|door|tap|valve)s?\b).*?(?P<v>stay|stays|remain|remains)\b[^.;]{0,10}\b(?:shut|closed|sealed|tied)\b",
    ],
    "float": [r"(?P<v>float)\b(?! (?:closed |shut |sealed |a )*bottles?)"],
    "drip": [r"(?P<v>drip)\b(?! loop)", r"\b(?P<v>run|start|set)\b[^.;]{0,20}\bdrip\b"],
    "salt": [
        r"(?P<v>dissolve|add|give|dose|stir|sprinkle|mix|pour|put|use|bring)\b(?:[^\w.]+[\w/.,%]+)"
        r"{0,6}?[^\w.]+(?:plain |common |cooking |aquarium )?salt\b(?!s? ?water)(?! from)",
        r"\bg/(?:l|kg) (?:of )?(?:plain )?salt\b",
        r"\bsalt (?:bath|dip)\b",
    ],
    "dechlorinate": [
        r"(?P<v>dose|add|use|put|pour|give|stir)\b[^.;]{0,50}\b(?:dechlorinator|thiosulfate|"
        r"thiosulphate|conditioner|binds chlorine)\b",
        r"(?P<v>dechlorinate)\b",
    ],
    "bind_chlorine": [r"\b(?:vitamin c|ascorbic acid)\b"],
    "feed": [
        r"(?P<v>feed)\b(?! the filter)",
        r"(?P<v>offer|give)\b[^.;]{0,25}\b(?:food|meal|feed)\b",
        r"\b(?:one|a|first|small) (?:small )?meal\b",
        r"\bpinch(?:es)? (?:a day|of food)",
    ],
    "change_water": [
        r"(?P<v>change) (?:about |some |part |twice |half |most |all |a (?:tenth|fifth|quarter|"
        r"third|little)|"
        r"two thirds|\d+ ?(?:to \d+ ?)?(?:%|l\b|litres)|water|the water|up to)",
        r"(?P<v>double|make|do|repeat) (?:the |an? )?(?:\w+ )?water changes?",
        r"(?P<v>replace) [^.;]{0,20}water",
    ],
    "air_tank": [
        r"(?P<v>air|aerate) (?:the |this |its |their )?(?:tank|rack|system|pond|water|it)\b",
        r"(?P<v>air|aerate) hard",
        r"(?P<v>turn) the air (?:up|on)",
        r"(?P<v>put|hang|drop|set|get)\b[^.;]{0,30}\b(?:air ?stone|"
        r"air)\b[^.;]{0,20}\b(?:tank|going|on)",
        r"(?P<v>break) the surface",
        r"(?P<v>keep) (?:the )?air going",
        r"\bmore air\b",
        r"\bbattery (?:air )?pump\b",
        r"(?P<v>lift) water in a\b",
        r"(?P<v>leave) the air on\b",
    ],
    "air_bag": [
        r"(?P<v>air|aerate)\b (?:the |that |this |each |every |open |opened )*bags?\b",
        r"\b(?:air ?stone|air ?line|air)\b[^.;]{0,15}\b(?:in|into|to) (?:the |that |each |an? )?"
        r"(?:open |opened )?bag",
    ],
    "leave_alone": [
        r"(?P<v>leave) (?:them|the fish|these|it|all) (?:alone|be\b|in peace|undisturbed)",
        r"\bwalk away\b",
        r"\b(?:nothing|no step) (?:needs|is needed|to do)\b",
        r"(?P<v>let) them (?:rest|be|settle)\b",
    ],
    "lift_cover": [
        r"(?P<v>lift|open|raise|prop|crack|take|remove) (?:off )?(?:the )?(?:cover|lid|hood)\b",
        r"\b(?:lid|cover) (?:off|open|ajar)\b",
        r"\blet air reach\b",
    ],
    "cover": [
        r"(?P<v>cover|close|shut|lid) (?:the |over the |up )?(?:tank|tub|lid|gap|every gap)",
        r"\blid on\b",
        r"^every gap$",
    ],
    "raise_ph": [
        r"(?P<v>add|dose|give|dissolve|stir|put|use|pour)\b[^.;]{0,30}\b(?:bicarbonate|baking soda|"
        r"buffer|soda|lime|crushed coral|coral)\b",
        r"(?P<v>raise|lift|bring) (?:up )?(?:the |its )?(?:ph|alkalinity|kh|carbonate)\b",
        r"^(?:sodium )?bicarbonate\b",
    ],
    "lower_ph": [
        r"(?P<v>add|dose|put|use)\b[^.;]{0,20}\b(?:acid|peat|ph down)\b",
        r"(?P<v>lower|drop) (?:the )?ph\b",
    ],
    "bind": [
        r"(?P<v>add|dose|use|put|give|pour)\b[^.;]{0,40}\b(?:ammonia binder|binder|binds "
        r"(?:chlorine|"
        r"ammonia))\b",
        r"^an? ammonia binder\b",
    ],
    "zeolite": [r"(?P<v>rinse|put|add|use|hang)\b[^.;]{0,30}\bzeolite"],
    "hold_temperature": [
        r"(?P<v>leave|keep|hold) the temperature\b",
        r"(?P<v>leave|keep|hold) (?:it|them|the tank) at (?:this|its|the present) temperature",
    ],
    "read_again": [
        rf"(?P<v>read|test|measure|check|take)\b{_NO_FISH}(?=[^.;]*\b{_READ}\b)"
        r"[^.;]{0,60}\b(?:again|twice|anew|once more|second "
        r"(?:thermometer|kit|meter|probe)|another (?:kit|thermometer|meter|probe))\b",
        r"(?P<v>re-?read|re-?test|re-?measure|double-check|recheck)\b",
        r"(?P<v>doubt|question) the (?:reading|number|thermometer|kit|figure)",
    ],
    "bag_water_in": [
        r"(?P<v>pour|tip|empty|add|put)\b[^.;]{0,30}\b(?:bag|bag "
        r"water)\b[^.;]{0,30}\b(?:into|in|to) "
        r"(?:the |an? )?(?:tank|rack|system|pond)",
        r"\b(?:with|and) (?:its|their|the) (?:bag )?water\b[^.;]{0,20}\b(?:into|in) the "
        r"(?:tank|rack|"
        r"system)",
    ],
    "pour_away": [
        r"(?P<v>throw|pour|tip|discard|drain)\b[^.;]{0,25}\b(?:bag water|waste water|"
        r"bag's water)\b",
        r"(?P<v>pour) it into a bucket",
    ],
    "net": [r"(?P<v>net|catch|chase)\b(?! of\b)"],
    "cup": [r"(?P<v>cup|ladle|scoop)\b", r"(?P<v>use) (?:an? )?(?:cup|tub|jug|bowl)"],
    "cut_power": [
        r"(?P<v>switch|turn) (?:it |them |everything |all |the power )?off at the\b",
        r"(?P<v>pull|take out) (?:the|every|all) plugs?",
        r"(?P<v>cut|switch off|turn off|kill) the (?:power|mains|current)",
        r"\boff at the (?:wall|mains|board|breaker)\b",
    ],
    "unplug_heater": [r"(?P<v>unplug|switch off|turn off) (?:the |that )?(?:\w+ )?heater"],
    "authority": [
        r"(?P<v>telephone|phone|ring|call|tell|inform|notify|report)\b[^.;]{0,50}\b(?:authorit\w+|"
        r"inspectorate|state veterinarian|ministry|official vet)",
        r"(?P<v>report) (?:it|this|the suspicion|suspicion)",
    ],
    "vet": [
        r"(?P<v>telephone|phone|ring|call|see|ask|tell|book)\b[^.;]{0,40}\b(?:vet|veterinar\w+)\b",
        r"\b(?:and|or) an? vet\b",
    ],
    "scrape": [r"\bscrape\b", r"\bgill snip\b"],
    "kill": [
        r"(?P<v>kill|euthani[sz]e|destroy|dispatch)\b(?! the (?:power|filter|bacteria))",
        r"(?P<v>put) (?:them|it|the fish|the worst) down\b",
        r"(?P<v>end) (?:its|their|the) suffering",
    ],
    "paper": [
        r"(?P<v>photograph|count|label|film|sign|fill in|file)\b(?! gill)",
        r"(?P<v>write|note)\b",
        r"(?P<v>keep) (?:the )?(?:dead|samples?|sick fish)",
        r"(?P<v>bag) the dead",
    ],
    "test": [rf"(?P<v>test|measure|read|check|dip)\b{_NO_FISH}[^.;]{{0,60}}\b{_READ}\b",
             r"\bthermometer in\b"],
    "splash": [
        r"(?P<v>break) the surface",
        r"\b(?P<v>splash|cascade)\b",
        r"\bcoarse (?:air|bubbles?|splash\w*|stone)",
        r"(?P<v>lift|pour)\b[^.;]{0,40}\bfrom a height",
        r"^(?!.*\bstones?\b)(?!.*\bfine bubbles?\b).*?(?P<v>air|aerate) (?:hard\b|"
        r"(?:the |this |its |their )?(?:tank|rack|system|pond|water|it)\b)",
    ],
    "look_again": [r"(?P<v>check|look|watch)\b[^.;]{0,60}\b(?:again|(?:in|every|after) "
                   r"(?:\d+|an?|half|ten|fifteen|twenty|thirty) (?:minutes|hours?|an hour))",
        r"(?P<v>look|watch)\b[^.;]{0,20}\bagain\b", r"(?P<v>watch) (?:them|the|from)"],
    "dim": [r"\blights? (?:down|off|low)\b", r"(?P<v>dim|darken)\b"],
    "siphon": [r"(?P<v>siphon|vacuum)\b"],
    "dip": [r"\bdip of\b[^.;]*\bfresh water\b", r"\bfresh[- ]?water dip\b"],
    "no_food": [
        r"^no (?:food|feed)\b",
        r"(?P<v>hold|stop|withhold) (?:the |all )?(?:food|feed)",
        r"^(?:do not|don't) feed\b",
        r"^feed (?:nobody|nothing|none)\b",
    ],
    "minerals": [
        r"(?P<v>mix|add|give)\b[^.;]{0,30}\b(?:tap water|minerals|hardness "
        r"salts)\b[^.;]{0,20}\binto\b",
    ],
    "ready": [
        r"(?P<v>have|ready|prepare|set up|get|fill|make|stand)\b[^.;]{0,50}\b(?:tub|tank|"
        r"water|bucket|"
        r"rack|system)\b",
        r"\btank (?:aired|ready|at temperature)\b",
        r"(?P<v>before) you (?:cut|open)\b",
    ],
    "remove_dead": [r"(?P<v>take|lift|remove|net) (?:out )?the dead\b"],
    "carbon": [r"\bactivated carbon\b"],
    "stop_movement": [r"\bnothing leaves\b", r"\bno (?:fish|one)[^.;]{0,20} (?:in or )?out\b",
                      r"\bstop (?:all )?movement\b"],
}  # fmt: skip

#: What is switched off, taken out or shut: verb, then thing.
_STOP = (
    r"(?P<v>shut|stop|turn|switch|take|pull|remove|unplug|close(?! in| to)|cut|"
    r"disconnect|lift|part|"
    r"separate|isolate|leave(?=[^.;]*\b(?:off|unplugged|stopped|as (?:it is|they are))))\b"
    r"[^.;]{{0,60}}?\b(?:{things})\b"
)
_THINGS = {
    "stop_co2": r"carbon dioxide|co2|gas (?:feed|dosing)",
    "stop_hose": r"tap|hose|mains water|make-up",
    "stop_heater": r"heater",
    "stop_filter": r"canister|filter|gravel|sump|stirring|substrate",
    "stop_gas": r"presses gas|air leak|suction|injector|pump|venturi|cold mains",
    "stop_source": r"source|spray|metal|part|dosing|dose|remedy|medicine|salt|copper",
    "stop_chaser": r"chaser|bully|attacker|aggressor",
    "stop_zeolite": r"zeolite",
}
for _name, _things in _THINGS.items():
    _PARTS[_name] = [_STOP.format(things=_things)]
_PARTS["stop_chaser"].append(r"\bdivider\b")
_PARTS["stop_hose"].append(r"\bhose out\b")
_PARTS["stop_gas"].append(r"\b(?P<v>drive) the gas off\b")

_WORDS_BEFORE_NOUNS = """
a an the this that these those no of its their your his her our will would can could may might own
which who they we it long slow by for with one's each any every some as
"""
_NO_COMMAND = frozenset(_WORDS_BEFORE_NOUNS.split())
_DUTY = re.compile(r"\b(?:have|need|needs|time|best|must|should|want) (?:be )?$")


@cache
def patterns(verb: str) -> tuple[re.Pattern[str], ...]:
    """The compiled patterns of a verb; KeyError for a word that is no verb here."""
    return tuple(re.compile(part) for part in _PARTS[verb])


def verbs() -> tuple[str, ...]:
    """Every act that can be read."""
    return tuple(_PARTS)


def matches(verb: str, words: str) -> bool:
    """Whether ``words`` (lower case, one clause or joined clauses) command ``verb``."""
    return any(_commands(found, words) for part in patterns(verb) for found in part.finditer(words))


def _commands(found: re.Match[str], words: str) -> bool:
    if "v" not in found.re.groupindex or found["v"] is None:
        return True
    if found.start("v") and words[found.start("v") - 1].isalpha():
        return False  # inside a longer word: "spread" orders no reading
    before = words[: found.start("v")].split()
    if not before:
        return True
    if before[-1] == "to":
        return bool(_DUTY.search(" ".join(before[:-1]) + " "))
    return before[-1].strip(",.'\"") not in _NO_COMMAND
