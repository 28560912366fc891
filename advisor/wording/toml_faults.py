"""What is wrong with a line of TOML, in the words of someone filling in a form."""

from __future__ import annotations

import re
from collections.abc import Mapping

_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")

#: Shape of the line -> what to say. The first that fits is said.
_SHAPES: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"\r"), "the line ends are of an old kind; save the file with ordinary line ends"),
    (re.compile("[“”„«»‘’]"), 'use straight quotes, " and ", instead of typographic ones'),
    (
        re.compile(r"=\s*\d{4}-\d{1,2}-\d"),
        "this is no date or time that exists; write it as 2030-06-01 or 2030-06-01T14:30:00",
    ),
    (re.compile(r"=\s*[+-]?0\d"), "write the number without a zero in front"),
    (
        re.compile(r"=\s*[+-]?(?:\d+\.|\.\d+)\s*(?:#.*)?$"),
        "write the number with digits on both sides of the point, such as 0.5 or 1.0",
    ),
    (
        re.compile(r"=\s*(?P<whole>[+-]?\d+),(?P<part>\d+)\s*(?:#.*)?$"),
        "write the number with a point: {whole}.{part}",
    ),
    (
        re.compile(r"=\s*(?:True|TRUE|False|FALSE)\s*(?:#.*)?$"),
        "write true and false in small letters",
    ),
    (
        re.compile(
            r"^\s*(?P<key>[\w.-]+)\s*=\s*"
            r"(?P<value>[^\"'#\[\]{},=]*[^\W\d][^\"'#\[\]{}]*?)\s*(?:#.*)?$"
        ),
        'text, and a number with its unit, stands in quotes: {key} = "{value}"',
    ),
    (
        re.compile(r"^\s*(?P<key>[\w.-]+)\s*=\s*(?:#.*)?$"),
        "nothing stands after {key} =; give a value, or delete the line if it is not known",
    ),
    (
        re.compile(r"^\s*(?P<key>[\w.-]+)\s*:"),
        "write an equals sign after the name: {key} = ...",
    ),
)
#: Only after these may the shape of the line decide: elsewhere the line itself is sound.
_SHAPE_DECIDES = (
    "Invalid value",
    "Invalid statement",
    "Invalid initial",
    "Expected newline",
    "Expected '='",
)

_TWICE = "this name was given before; keep one of the two"
_OTHER_FORM = "this part was given before in another form; join the two"
_NOT_CLOSED = "text that begins with a quote is not closed; put the same quote at its end"
_BACKSLASH = "write a backslash in text twice: \\\\"

#: What the parser says (its beginning) -> what we say, with the examples of the form.
_SAYINGS: tuple[tuple[str, str], ...] = (
    ("Cannot overwrite a value", _TWICE),
    ("Duplicate inline table key", _TWICE),
    ("Cannot declare", "this heading was given before; join the two parts"),
    ("Cannot mutate", _OTHER_FORM),
    ("Cannot redefine", _OTHER_FORM),
    ("Expected '='", "a name must be followed by = and a value, such as {line}"),
    ("Expected ']'", "a heading must end with ], such as {heading}"),
    ("Expected ']]'", "a heading that begins with [[ must end with ]], such as {entry}"),
    ("Expected newline", "something is left over at the end of the line; delete it"),
    ("Expected", _NOT_CLOSED),
    (
        "Unclosed array",
        "a list that begins with [ is not closed: put commas between its entries and ] at its end",
    ),
    (
        "Unclosed inline table",
        "a table that begins with {{ is not closed: "
        "put commas between its entries and }} at its end, all on one line",
    ),
    ("Unterminated string", _NOT_CLOSED),
    ("Illegal character '\\n'", _NOT_CLOSED),
    ("Illegal character", "the text holds a control character; delete it"),
    ("Found invalid character '\\n'", _NOT_CLOSED),
    ("Found invalid character", "there is a control character here; delete it"),
    ("Unescaped '\\'", _BACKSLASH),
    ("Invalid hex value", _BACKSLASH),
    ("Escaped character", "the text names a character that does not exist; delete it"),
    ("Invalid date", "this date does not exist; write it as 2030-06-01"),
    ("Invalid initial character", "a name is missing before ="),
    ("Invalid statement", "the line is no name = value, no [heading] and no # comment"),
    (
        "Invalid value",
        "the value is not readable; put text in quotes, write a number like 7.4 "
        'and a list like ["one", "two"]',
    ),
)


def sentence(said: str, text: str, examples: Mapping[str, str]) -> str:
    """``line 3: put text in quotes: ...`` from what the parser said of ``text``.

    said     : message of tomllib.TOMLDecodeError, with its position at the end
    examples : a "line", a "heading" and an "entry" of this kind of file
    """
    lines = text.replace("\r\n", "\n").split("\n")
    found = _AT.search(said)
    if found and found[1]:
        number, place = int(found[1]), f"line {found[1]}"
    else:
        number = max((at for at, line in enumerate(lines, 1) if line.strip()), default=1)
        place = f"line {number}, the last"
    line = lines[number - 1][:200]
    shape = _shape(line) if said.startswith(_SHAPE_DECIDES) else None
    return f"{place}: {shape or _saying(said, examples)}"


def _shape(line: str) -> str | None:
    for pattern, words in _SHAPES:
        if found := pattern.search(line):
            return words.format(**found.groupdict())
    return None


def _saying(said: str, examples: Mapping[str, str]) -> str:
    for start, words in _SAYINGS:
        if said.startswith(start):
            return words.format(**examples)
    return "this is not readable as TOML; look for a missing quote or bracket"
