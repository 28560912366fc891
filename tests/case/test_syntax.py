"""TOML that cannot be read: the line, and how to mend it, in plain words."""

from __future__ import annotations

import pytest

from advisor.case import loads_case
from advisor.errors import AdvisorError

TEXTS = [
    ("ph = 7,4", "line 1: write the number with a point: 7.4"),
    ("ph 7.4", "line 1: a name must be followed by = and a value, such as tank.ph = 7.4"),
    ("ph: 7.4", "line 1: write an equals sign after the name: ph = ..."),
    ("ph = .4", "line 1: write the number with digits on both sides of the point"),
    ("ph = 7.", "line 1: write the number with digits on both sides of the point"),
    ("ph = 07", "line 1: write the number without a zero in front"),
    ("[transit]\ntemperature_c = 78 F\n",
     'line 2: text, and a number with its unit, stands in quotes: temperature_c = "78 F"'),
    ("title = Ember tetras # ours\n",
     'line 1: text, and a number with its unit, stands in quotes: title = "Ember tetras"'),
    ("title = “Ember”", 'line 1: use straight quotes, " and ", instead of typographic ones'),
    ("\n\ntitle = \"Ember\nplace = 'x'", "line 3: text that begins with a quote is not closed"),
    ("title = 'Ember", "line 1, the last: text that begins with a quote is not closed"),
    ('notes = """\nlong\ntext\n\n', "line 3, the last: text that begins with a quote is not"),
    ("invented = True", "line 1: write true and false in small letters"),
    ("hours_sealed =\n", "line 1: nothing stands after hours_sealed =; give a value, or delete"),
    ("[transit\nx = 1", "line 1: a heading must end with ], such as [transit]"),
    ("[[lot]\nx = 1", "line 1: a heading that begins with [[ must end with ]], such as [[lot]]"),
    ("[transit]\n[transit]", "line 2: this heading was given before; join the two parts"),
    ("[transit]\nx = 3\nx = 4\n[lot]", "line 3: this name was given before; keep one of the two"),
    ("x = { a = 1, a = 2 }", "line 1: this name was given before; keep one of the two"),
    ("x.y = 1\n[x]", "line 2: this heading was given before; join the two parts"),
    ('seen = ["a" "b"]', "line 1: a list that begins with [ is not closed: put commas between"),
    ("x = { a = 1\nb = 2}", "line 1: a table that begins with { is not closed"),
    ('photo = "C:\\dir"', "line 1: write a backslash in text twice: \\\\"),
    ('x = "\\ud800"', "line 1: the text names a character that does not exist; delete it"),
    ("received = 2030-13-45", "line 1: this is no date or time that exists; write it as 2030-06"),
    ("received = 2030-02-30", "line 1: this date does not exist; write it as 2030-06-01"),
    ("= 5", "line 1: the line is no name = value, no [heading] and no # comment"),
    ('x = "a\x01b"', "line 1: the text holds a control character; delete it"),
    ("# \x01", "line 1: there is a control character here; delete it"),
    ("x = 1\ry = 2", "line 1: the line ends are of an old kind; save the file with ordinary"),
    ("x = 5 5", "line 1: something is left over at the end of the line; delete it"),
    ("x = ?", "line 1: the value is not readable; put text in quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), TEXTS)
def test_the_line_and_the_way_out_are_named(text: str, said: str) -> None:
    with pytest.raises(AdvisorError) as refusal:
        loads_case(text, "den.toml")
    assert str(refusal.value).startswith(f"den.toml, {said}")
    assert str(refusal.value).isprintable()


def test_line_numbers_count_windows_line_ends_once() -> None:
    with pytest.raises(AdvisorError, match=r"line 3:"):
        loads_case("[transit]\r\nhours_sealed = 3\r\nbox = plain\r\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a = " + "[" * 5_000, "brackets are nested too deep"),
        ("a = " + "{a=" * 5_000, "brackets are nested too deep"),
        ("a" + ".a" * 50_000 + " = 1", "a name of more than 4 parts"),
        ("[" + "a . " * 50_000 + "a]", "a name of more than 4 parts"),
        ("a = " + "9" * 5_000, "a number is thousands of digits long"),
        ("a = [" + "1," * 100_000 + "]", "holds more than 60000 values"),
        ("[[lot]]\n" * 100_000, "holds more than 60000 values"),
    ],
)
def test_files_built_to_keep_the_reader_busy_are_refused(text: str, said: str) -> None:
    with pytest.raises(AdvisorError, match=said):
        loads_case(text)


@pytest.mark.parametrize(
    "text", ["1.2.3.4.5.6.7.8 and a.b.c.d.e.f.g", "=" * 70_000, "[" * 70_000, '"""', "'''a.b.c.d.e"]
)
def test_what_stands_in_quotes_is_not_taken_for_names_or_values(text: str) -> None:
    import tomli_w

    for long_text in (False, True):
        written = tomli_w.dumps({"delivery": {"notes": text + "\n"}}, multiline_strings=long_text)
        assert loads_case(written).delivery.notes == text + "\n"
