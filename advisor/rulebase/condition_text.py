"""Conditions as they are written in TOML, read into their tree; every fault is one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from advisor.rulebase.conditions import (
    BANDS,
    FITS,
    OPERATORS,
    PHASES,
    PLACES,
    STANDINGS,
    All,
    Any_,
    ConditionFault,
    Leaf,
    Node,
    negate,
)
from advisor.wording.nearest import nearest


class Names(NamedTuple):
    """The words a condition may use: ids of the rule base, by what they name.

    history : id -> the answers it may have, None where it is a number
    limits  : id -> its number in the stored unit
    """

    signs: frozenset[str] = frozenset()
    readings: frozenset[str] = frozenset()
    computed: frozenset[str] = frozenset()
    history: Mapping[str, tuple[str, ...] | None] = {}  # None = number
    traits: frozenset[str] = frozenset()
    findings: frozenset[str] = frozenset()
    causes: frozenset[str] = frozenset()
    limits: Mapping[str, float] = {}
    fits: frozenset[str] = frozenset()
    moves: frozenset[str] = frozenset()
    doubts: frozenset[str] = frozenset()


def read_condition(condition: Mapping[str, Any], names: Names, *, later: bool = False) -> Node:
    """A TOML condition as a tree.

    condition : a table with one subject ({ sign = ... }, { reading = ..., below = ... }) or one of
                ``all``, ``any`` (lists of conditions) and ``not`` (a condition); DEVELOPERS.md
                lists every subject with its words
    later     : allows subjects that are known only after ranking: standing, first, not_enough,
                move, fit, doubt

    Numbers are in the stored unit of what they are compared with, or the id of a limit.
    ``surely_`` and ``possibly_`` before a comparison ask the ends of the band instead of its
    centre. Raises ConditionFault, one sentence with the nearest known word.
    """
    return _Reader(names, later).node(condition, positive=True)


class _Reader(NamedTuple):
    names: Names
    later: bool

    def node(self, item: Any, positive: bool) -> Node:
        if not isinstance(item, Mapping) or not item:
            raise ConditionFault(
                "a condition is a table such as { sign = ... }; found " + repr(item)
            )
        for word in ("all", "any", "not"):
            if word in item:
                if len(item) > 1:
                    raise ConditionFault(
                        f'"{word}" stands alone in its table; found also '
                        + ", ".join(sorted(set(item) - {word}))
                    )
                return self._joined(word, item[word], positive)
        parts = tuple(self._leaves(item))
        node: Node = parts[0] if len(parts) == 1 else All(parts)
        return node if positive else negate(node)

    def _joined(self, word: str, inner: Any, positive: bool) -> Node:
        if word == "not":
            return self.node(inner, not positive)
        if not isinstance(inner, list) or not inner:
            raise ConditionFault(f'"{word}" holds a list of conditions and must not be empty')
        parts = tuple(self.node(part, positive) for part in inner)
        return All(parts) if (word == "all") == positive else Any_(parts)

    def _leaves(self, item: Mapping[str, Any]) -> Iterator[Leaf | Any_]:
        for subject in SUBJECTS:
            if subject in item:
                rest = {k: v for k, v in item.items() if k != subject}
                yield from SUBJECTS[subject](self, item[subject], rest)
                return
        raise ConditionFault(
            f"no subject among {', '.join(sorted(item))}; use one of " + ", ".join(SUBJECTS)
        )

    # -- subjects ---------------------------------------------------------

    def sign(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("sign", name, self.names.signs)
        if "looked_for" in rest:
            yield Leaf("known", f"sign:{name}", "==", self._flag(rest, "looked_for"))
            return
        state = rest.pop("is", "seen")
        self._nothing_left(rest, ("is", "looked_for"))
        if state not in ("seen", "absent"):
            raise ConditionFault(f'sign "{name}" is "{state}"; use "seen" or "absent"')
        yield Leaf("sign", name, "==", state == "seen")

    def reading(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("reading", name, self.names.readings)
        yield from self._quantity(name, rest)

    def computed(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("computed", name, self.names.computed)
        yield from self._quantity(name, rest)

    def history(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("history", name, self.names.history)
        answers = self.names.history[name]
        if "known" in rest:
            yield Leaf("known", f"history:{name}", "==", self._flag(rest, "known"))
        elif answers is None:
            yield from self._quantity(name, rest, kind="history")
        elif "is_any" in rest:
            wanted = rest.pop("is_any")
            self._nothing_left(rest, ("is_any",))
            yield Any_(tuple(self._answer(name, word, answers) for word in wanted))
        else:
            word = rest.pop("is", "yes")
            self._nothing_left(rest, ("is", "is_any", "known"))
            yield self._answer(name, word, answers)

    def trait(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("trait", name, self.names.traits)
        yield Leaf("trait", name, "==", self._flag(rest, "is") if rest else True)

    def finding(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("finding", name, self.names.findings)
        self._nothing_left(rest, ())
        yield Leaf("finding", name, "==", True)

    def phase(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("phase", name, PHASES)
        self._nothing_left(rest, ())
        yield Leaf("phase", "phase", "==", name)

    def place(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._known("place", name, PLACES)
        self._nothing_left(rest, ())
        yield Leaf("place", "place", "==", name)

    def fit(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("fit")
        self._known("fit", name, self.names.fits)
        words = rest.pop("is_any", None) or [rest.pop("is", "fit")]
        self._nothing_left(rest, ("is", "is_any"))
        for word in words:
            self._known("state of fit", word, FITS)
        yield Any_(tuple(Leaf("fit", name, "==", word) for word in words))

    def doubt(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("doubt")
        self._known("doubt", name, self.names.doubts)
        self._nothing_left(rest, ())
        yield Leaf("doubt", name, "==", True)

    def move(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("move")
        self._known("move", name, self.names.moves)
        self._nothing_left(rest, ())
        yield Leaf("move", "move", "==", name)

    def standing(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("standing")
        self._known("cause", name, self.names.causes)
        for word in list(rest):
            if word not in ("at_least", "at_most") or rest[word] not in STANDINGS:
                raise ConditionFault(
                    f'standing of "{name}": use at_least or at_most with one of '
                    + ", ".join(STANDINGS)
                )
            yield Leaf("standing", name, OPERATORS[word], STANDINGS.index(rest[word]))
        if not rest:
            raise ConditionFault(f'standing of "{name}" lacks at_least or at_most')

    def first(self, name: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("first")
        self._known("cause", name, self.names.causes)
        yield Leaf("first", name, "==", self._flag(rest, "is") if rest else True)

    def not_enough(self, value: Any, rest: dict[str, Any]) -> Iterator[Leaf | Any_]:
        self._only_later("not_enough")
        self._nothing_left(rest, ())
        yield Leaf("not_enough", "not_enough", "==", bool(value))

    # -- pieces -----------------------------------------------------------

    def _quantity(self, name: str, rest: dict[str, Any], kind: str = "value") -> Iterator[Leaf]:
        if "measured" in rest:
            yield Leaf("known", name, "==", self._flag(rest, "measured"))
            return
        if not rest:
            raise ConditionFault(f'"{name}" lacks a comparison such as above or at_least')
        for word, bound in rest.items():
            band, _, plain = word.partition("_")
            operator = OPERATORS.get(plain if band in BANDS else word)
            if operator is None:
                raise ConditionFault(
                    _unlike(
                        f'"{name}": no comparison "{word}"',
                        word,
                        [*OPERATORS, *(f"{b}_{o}" for b in BANDS for o in OPERATORS)],
                    )
                )
            part = BANDS[band][operator] if band in BANDS and kind == "value" else kind
            number, limit = self._number(name, bound)
            yield Leaf(part, name, operator, number, limit)

    def _number(self, name: str, bound: Any) -> tuple[float, str | None]:
        if isinstance(bound, str):
            self._known("limit", bound, self.names.limits)
            return float(self.names.limits[bound]), bound
        if isinstance(bound, bool) or not isinstance(bound, (int, float)):
            raise ConditionFault(f'"{name}" is compared with {bound!r}; use a number or a limit')
        return float(bound), None

    def _answer(self, name: str, word: Any, answers: tuple[str, ...]) -> Leaf:
        if word not in answers:
            raise ConditionFault(
                _unlike(f'history "{name}" has no answer "{word}"', str(word), answers)
            )
        return Leaf("history", name, "==", word)

    def _flag(self, rest: dict[str, Any], word: str) -> bool:
        value = rest.pop(word, None)
        self._nothing_left(rest, (word,))
        if not isinstance(value, bool):
            raise ConditionFault(f'"{word}" is true or false')
        return value

    def _known(self, what: str, name: Any, names: Iterable[str]) -> None:
        if not isinstance(name, str) or name not in names:
            raise ConditionFault(_unlike(f'no {what} "{name}"', str(name), names))

    def _nothing_left(self, rest: Mapping[str, Any], allowed: tuple[str, ...]) -> None:
        left = sorted(set(rest) - set(allowed))
        if left:
            raise ConditionFault(
                f"unknown word {left[0]!r} in a condition; allowed here: "
                + (", ".join(allowed) or "nothing more")
            )

    def _only_later(self, word: str) -> None:
        if not self.later:
            raise ConditionFault(
                f'"{word}" is known only after ranking; use it in actions, '
                "cautions, notices and vet notes"
            )


SUBJECTS = {
    "sign": _Reader.sign,
    "reading": _Reader.reading,
    "computed": _Reader.computed,
    "history": _Reader.history,
    "trait": _Reader.trait,
    "finding": _Reader.finding,
    "phase": _Reader.phase,
    "place": _Reader.place,
    "fit": _Reader.fit,
    "move": _Reader.move,
    "doubt": _Reader.doubt,
    "standing": _Reader.standing,
    "first": _Reader.first,
    "not_enough": _Reader.not_enough,
}


def _unlike(sentence: str, word: str, names: Iterable[str]) -> str:
    return f"{sentence}{nearest(word, names)}"
