"""Words that mean another thing beside others: gasping on the bottom, basins of a farm, a net pen.

"Gasping on the bottom" is hard breathing, as air is taken at the surface only; "land basins" and
"net pens" hold stock as a tank does; "200 000 dead" is one number.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re

_FLOOR = r"(?:bottom|floor|gravel|sand|substrate|ground)\b"
_THE = r"(?:the |their |its |his |her )?"
_GASP = r"(?:gasp|gulp)(?:ing|s|ed|in)?"
_AIR = r"(?: (?:hard|heavily|badly|fast|away|a lot|for (?:air|breath|oxygen)))*"
_REST = r"(?: (?:while |and )?(?:lying|laying|lies|sitting|sits|resting|rests|flat|still|down|only|all|motionless))*"
#: What stands beside a figure of a farm is a round number; below it heads are asked for.
_MANY = 100
_AS_MEANT: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(rf"\b{_GASP}{_AIR}(?P<rest>{_REST} (?:on|at|near|along|down on) {_THE}{_FLOOR})"),
        r"breathing hard\g<rest>",
    ),
    (
        re.compile(rf"(?P<rest>\b(?:on|at|near|along) {_THE}{_FLOOR}(?: of the \w+)?(?: and)?(?: are| is| all| just)*) {_GASP}\b(?! (?:at|near|on|to) )"),
        r"\g<rest> breathing hard",
    ),
    (
        re.compile(r"\b(?:(?:land|farm|fish|rearing|holding|stock|grow ?out|concrete|earth(?:en)?|tiled|outdoor|indoor) )+basins?\b|\bbasins\b|\bbasin (?=(?:on|of|at) (?:the |our |my |a |his )?(?:farm|hatchery|land|station))"),
        "tanks ",
    ),
    (
        re.compile(r"\b(?:net|sea|fish|floating|farm) ?(?:pens?|cages?)\b|\bnet ?pens?\b|\bcages? (?=(?:in|on|at|off) (?:the |a )?(?:sea|bay|lake|fjord|lagoon|coast|farm))"),
        "tanks ",
    ),
    (
        re.compile(r"(?P<was>\b(?:power|mains|electric\w*|current|lights?) (?:was|were|went|had gone|has been)(?: all)? (?:out|off|down|gone|cut)\b.*?)(?:it |its |it is |is |has come |came |come )?\b(?:back|on again)(?: on)?(?: again)?(?: now)?(?: since| by| at)?\b"),
        r"\g<was> , power back ",
    ),
    (
        re.compile(r"\b(?:nobody|nothing|no fish|not a single 1|not 1)(?: of them)?(?: is| are| was| were)?(?: left)? alive\b(?: (?:any ?more|now|left))?"),
        "all dead ",
    ),
    (
        re.compile(r"\b(?:(?:the |our |my )?(?:whole|entire) (?:stock|lot|batch|population|consignment|tank)(?: of \w+)?|every (?:single )?(?:fish|1)|everyone)(?: is| are| was| were| has| have)?(?: been)? (?:lost|dead|died|gone|perished)\b"),
        "all dead ",
    ),
    (
        re.compile(r"\blost (?:the |our |my |all )*(?:whole|entire) (?:stock|lot|batch|population|consignment|tank)\b|\blost (?:every (?:single )?(?:fish|1)|everyone)\b"),
        "all dead ",
    ),
    (re.compile(r"\ball (?:are |is |the fish are )?dead\b\s*(?:[,;.] *(?:and )?all dead\b\s*)+"), "all dead "),
    (
        re.compile(r"(?<![\d.,])\b[1-9]\d{0,2}(?: \d{3})+(?= (?:are |were |fish )*(?:dead|died|lost|down|dying|alive|gone)\b)"),
        "",
    ),
    (re.compile(r"(?<![\d.,])\b[1-9]\d{0,2}(?: 000)+\b(?![.,]?\d)"), ""),
    (
        re.compile(r"\b(?:well )?(?:over|more than|at least|upwards of|in excess of) (?=(?P<heads>\d{3,})\b(?: \w+)? (?:dead|died|lost|down|gone)\b)"),
        "",
    ),
)  # fmt: skip


def in_company(text: str) -> str:
    """The line with such words written as they are meant. text: small letters, numbers in figures"""
    for form, meant in _AS_MEANT:
        text = form.sub(lambda hit, meant=meant: _meant(hit, meant), text)  # type: ignore[misc]
    return text


def _meant(hit: re.Match[str], meant: str) -> str:
    if meant:
        return hit.expand(meant)
    if (heads := hit.groupdict().get("heads")) is not None:
        return "" if int(heads) >= _MANY else hit[0]
    return hit[0].replace(" ", "")
