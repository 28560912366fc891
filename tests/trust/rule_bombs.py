"""Rule files built to keep a reader busy, each just under the size that is refused unread."""

from __future__ import annotations

from collections.abc import Iterator

from tests.case import fuzz as cases

ROOM = 950_000
SOURCE = b"source=[{ref='judgement',basis='judgement'}]\n"
LEAF = b"{sign='gasping_at_surface'}"
RULE = b"[[rule]]\nid='bomb'\nsupports='nitrite'\nstrength='weak'\nbecause='x'\n" + SOURCE
SIGN = b"[[sign]]\nid='s%d'\nname='a'\nlook_for='b'\n" + SOURCE
WRONG_SIGN = b"[[sign]]\nid='S%d'\nnam='a'\n"
QUESTION = (
    b"[[question]]\nid='q'\ntext='a'\nhelp='a'\nbecause='a'\nkind='signs'\ncost_seconds=1\n"
    + SOURCE
)
EITHER = b"{any=[{reading='tank_do_mg_l',below=%d},{reading='tank_do_mg_l',above=%d}]},"


def bombs(files: dict[str, bytes]) -> Iterator[tuple[str, str, bytes]]:
    """(what it is, file of the sample it takes the place of, content)."""
    for name, raw in cases.bombs():
        yield name, "words.toml", raw
    rule = files["causes/rules.toml"] + RULE + b"when="
    pairs = b"".join(EITHER % (n, n) for n in range(12))
    for name, condition in (
        ("deep condition", b"{not=" * 90 + LEAF + b"}" * 90),
        ("many alternatives", b"{all=[" + pairs + b"]}"),
        ("wide condition", b"{any=[" + (LEAF + b",") * 30_000 + b"]}"),
    ):
        yield name, "causes/rules.toml", rule + condition
    yield "many signs", "more.toml", b"".join(SIGN % n for n in range(ROOM // len(SIGN)))
    yield "the same sign again", "more.toml", (SIGN % 1) * (ROOM // len(SIGN))
    lost = b",".join(b"'g%d'" % n for n in range(50_000))
    yield "names that lead nowhere", "more.toml", QUESTION + b"signs=[" + lost + b"]"
    count = ROOM // len(WRONG_SIGN) - 1_000
    yield "many wrong entries", "more.toml", b"".join(WRONG_SIGN % n for n in range(count))
