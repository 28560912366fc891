"""Words that come with a number, and words that come instead of one.

A word is never turned into a value: "fine" and "cycled" open a question,
"don't know" is an answer of its own.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

from advisor.units.atoms import normalise
from advisor.units.spellings import Key, key_of

Sense = Literal[
    "at_least", "at_most", "about", "range", "between", "or", "plus_minus", "trace", "undetected",
    "exactly", "filler",
]  # fmt: skip

_UNKNOWN = (
    "?|??|???|-|--|u|x|unknown|unk|unsure|not sure|don't know|dont know|do not know"
    "|i don't know|i dont know|dunno|idk|no idea|not known|not measured|not tested"
    "|not taken|untested|unmeasured|didn't test|didnt test|did not test|haven't tested"
    "|havent tested|not checked|didn't measure|didnt measure|did not measure"
    "|no reading|no test|no kit|no number|none taken|cannot tell|can't tell|cant tell"
    "|cannot measure|can't measure|n/a|na|n.a.|skip|pass|no thermometer|no meter"
    "|never tested|not available|unknown."
)

_SENSES: dict[Sense, str] = {
    "at_least": ">|>=|> =|≥|=>|over|above|more than|greater than|higher than|at least"
    "|not less than|no less than|not under|not below|no lower than|minimum|minimum of"
    "|upwards of|exceeds|exceeding|beyond|past|off the chart|off the charts|off the scale"
    "|off the card|off scale|off chart|off the chart at|off the scale at|off the card at"
    "|beyond the chart|beyond the scale|top of the card|top of the card at"
    "|top of the chart|top of the chart at|top of the scale|top of the scale at|top mark"
    "|top mark of|highest mark|highest colour|highest color|darkest colour|darkest color"
    "|darkest|maxed out|maxed out at|maxed|maxes out at|pegged at|or more|or higher"
    "|or above|or over|or greater|and above|and up|and over|plus|+",
    "at_most": "<|<=|< =|≤|=<|under|below|less than|fewer than|lower than|at most"
    "|not more than|no more than|not over|not above|no higher than|no greater than|up to"
    "|bottom of the card|bottom of the card at|bottom mark|lowest mark|lowest colour"
    "|lowest color|or less|or lower|or below|or under|or fewer|and below|and under",
    "about": "~|?|about|around|approx|approx.|approximately|roughly|circa|ca|ca.|nearly"
    "|almost|just|just under|just over|just below|just above|a little over|a little under"
    "|maybe|perhaps|probably|somewhere around|or so|ish|-ish|i think|i guess|say"
    "|more or less|give or take|close to|near",
    "range": "to|til|till|until|through|thru|..|...|and|&",
    "between": "between|from|range|ranging|ranges",
    "or": "or",
    "plus_minus": "±|+/-|+-|plus or minus|plus/minus|+ or -",
    "trace": "trace|traces|a trace|trace amount|trace amounts|just a trace|slight trace",
    "undetected": "undetectable|undetected|not detected|not detectable|none detected"
    "|nondetect|non detect|below detection|nd|bdl|b.d.l.|zero detected|no trace",
    "exactly": "=|exactly|precisely|equals",
    "filler": "is|it|its|it's|are|was|were|reads|read|reading|readings|shows|showed"
    "|showing|measured|measures|measure|tested|tests|test|testing|at|the|of|on|in|by|with"
    "|my|our|this|that|there|then|now|today|water|tank|bag|bags|pond|system|fish|each"
    "|every|per fish|temp|temp.|temperature|level|levels|value|card|cards|chart|colour"
    "|color|colour card|color card|colour chart|color chart|strip|strips|meter says|probe"
    "|kit|kits|liquid|liquid kit|drops|drop kit|meter|digital|thermometer|ph|alk"
    "|alkalinity|carbonate hardness|general hardness|total hardness|hardness|conductivity"
    "|ec|cond|salinity|salt|do|dissolved oxygen|oxygen|o2|volume|holds|weight|weighs|weigh"
    "|mass|length|long|hours sealed|sealed|after opening|ago|late|old|travel|transit"
    "|journey|total gas pressure|tgp|gas|pressure|saturation|specific gravity reading"
    "|difference|diff|warmer|colder|cooler|hotter|higher|lower|apart|total|a|an|so|.|,|;"
    "|:|(|)|[|]|!|\"|'|*|me|i|we|got|get|have|has|had|came|out|up|about the|for|deep|wide"
    "|tall|x long|currently|still|only|as well|when|after|before|free chlorine"
    "|total chlorine|lab|laboratory|photometer|refractometer|hydrometer|swing arm|probes",
}

# Numbers written as words.
NUMBER_WORDS = {
    "zero": 0.0, "nil": 0.0, "nought": 0.0, "naught": 0.0,
    "half": 0.5, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0,
    "seven": 7.0, "eight": 8.0, "nine": 9.0, "ten": 10.0, "eleven": 11.0, "twelve": 12.0,
    "fifteen": 15.0, "twenty": 20.0, "thirty": 30.0, "forty": 40.0, "fifty": 50.0, "sixty": 60.0,
    "ninety": 90.0,
}  # fmt: skip

_NUMBER_AND_KIT = (
    "What number did it read, and on which kind of kit (colour card, strip, drops, meter)?"
)
#: Asked after words of size; beside a number they make it "about".
HOW_MUCH = "How much is that as a number, with its unit?"
_ASK: dict[str, str] = {
    _NUMBER_AND_KIT: "fine|ok|okay|good|great|perfect|normal|safe|stable|ideal|excellent"
    "|alright|all right|all good|in range|within range|within limits|acceptable|correct"
    "|right|spot on|same|as usual|usual|average|decent|green|yellow|orange|red|blue|purple"
    "|pink|clear|tested at the shop|shop tested it|tested fine|fine for everything"
    "|balanced",
    "How many weeks has it run, what fed the filter, and what does nitrite read today?": "cycled"
    "|fully cycled|matured|mature|established|seeded|cycling|new tank",
    "What was used, how much of it, for what volume, and before or after filling?": "treated"
    "|conditioned|dechlorinated|dechlorinator|water conditioner|tap safe|aged|aged water"
    "|conditioner|binder",
    "How was it done (floated, dripped, poured, netted), and for how many minutes?": "acclimated"
    "|acclimatised|acclimatized|acclimatized properly|acclimated properly|floated|dripped"
    "|drip acclimated|equalised|equalized",
    "Was the test done and did it read 0, or was nothing measured?": "none|nothing|no"
    "|absent|negative|no ammonia|no nitrite|no nitrate|no chlorine",
    HOW_MUCH: "high|low|very high|very low|too high"
    "|too low|higher than usual|elevated|raised|bad|off|terrible|sky high|some|a lot|lots"
    "|a little|a bit|little|much|many|few|several|a few|a couple|couple|couple of"
    "|a couple of|dozens|through the roof|rising|falling|slightly|strong|weak|full"
    "|half full|heaped|small|big|large|medium|tiny|huge|yes|present|positive",
    "What does a thermometer in the water read?": "warm|cold|cool|hot|lukewarm|tepid"
    "|tropical|ice cold|freezing|room temperature|room temp|room|icy|chilly"
    "|body temperature|heated|unheated|ambient|matched",
    "What number does it read on the pH scale or in degrees of hardness?": "soft|hard"
    "|very soft|very hard|neutral|acid|acidic|alkaline|basic|moderate|liquid rock|fresh"
    "|freshwater|fresh water|brackish|marine|saltwater|salt water|seawater|sea water"
    "|rainwater|ro|reverse osmosis|distilled|tap|tapwater|tap water",
    "How many hours was that, roughly?": "overnight|all day|all night|a while|while|ages"
    "|long time|a long time|yesterday|this morning|last night|this afternoon|short|quick"
    "|quickly|long trip|forever|days ago|a day or two|morning|evening|night|noon|midnight"
    "|soon|just now",
}


@cache
def phrases() -> dict[Key, Sense]:
    """Every phrase that goes with a number -> its sense."""
    return {
        key_of(phrase): sense
        for sense, joined in _SENSES.items()
        for phrase in joined.split("|")
        if phrase
    }


@cache
def questions() -> dict[Key, str]:
    """Every word that is not a reading -> what to ask instead."""
    return {key_of(p): ask for ask, joined in _ASK.items() for p in joined.split("|")}


@cache
def _unknown() -> frozenset[Key]:
    return frozenset(key_of(phrase) for phrase in _UNKNOWN.split("|"))


def is_unknown(text: str) -> bool:
    """True when the text says that the value is not known, or says nothing.

    >>> is_unknown("don't know"), is_unknown(""), is_unknown("0")
    (True, True, False)
    """
    normal = normalise(text).rstrip(".! ")
    return not normal or key_of(normal) in _unknown()
