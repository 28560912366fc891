"""How people say what they see: typed words to signs, through the rule base's phrases.

Three outcomes for a piece of text: a sign (sure when the words are those of the
rule base, else a guess to be confirmed), a word that says nothing seen and opens
a question instead, or nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from advisor.advice.settled_by import NEVER
from advisor.ask.answers.choosing import plain
from advisor.rulebase import RuleBase
from advisor.wording.nearest import near_words

#: Closer than this a mistyped phrase is offered as a guess (judgement).
CLOSE = 0.82
_MOST_TEXT = 200
#: Words that say who or how much, not what is seen; a phrase less these is a guess only.
_SMALL = frozenset(
    """
    a an the some any all most many several few one two three of them they it its he she his her
    their there is are was were be being have has very really quite just rather still now fish
    """.split()  # noqa: SIM905 - forty quoted words are no easier to read
)
_NEGATION = re.compile(
    r"^(?:the |they |it |he |she |fish |is |are )*"
    r"(no|not|isnt|arent|without|never|none|nothing) (?!all |every |only |just )(.+)$"
)


@dataclass(frozen=True)
class PhraseHits:
    """What a line said.

    seen, absent : signs, with the words they were read from
    guesses      : signs to be confirmed, with the words
    ask_instead  : (word, question) for words that are no signs
    unheard      : pieces nothing is known of
    """

    seen: Mapping[str, str]
    absent: Mapping[str, str]
    guesses: Mapping[str, str]
    ask_instead: tuple[tuple[str, str], ...]
    unheard: tuple[str, ...]


class SignBook:
    """The phrases of a rule base, ready to be looked up."""

    def __init__(self, base: RuleBase) -> None:
        self._phrases: dict[str, str] = {}
        self._parted: dict[re.Pattern[str], str] = {}  # phrases that hold a comma, "and" or "but"
        for sign in base.signs.values():
            for words in (sign.name, sign.id.replace("_", " "), *sign.phrases):
                self._phrases.setdefault(plain(words), sign.id)
                if len(_pieces(words)) > 1:
                    self._parted[_spaced(words)] = sign.id
        self._bare: dict[str, str] = {}
        self._sets: dict[frozenset[str], str] = {}
        for phrase in self._phrases:
            bare = _bare(phrase)
            if len(bare.split()) > 1:
                self._bare.setdefault(bare, phrase)
                self._sets.setdefault(frozenset(bare.split()), phrase)
        never = base.questions.get(NEVER)
        self._never = {plain(word): ask for word, ask in (never.choices if never else {}).items()}

    def hear(self, text: str) -> PhraseHits:
        """Everything a line says about signs."""
        seen: dict[str, str] = {}
        absent: dict[str, str] = {}
        guesses: dict[str, str] = {}
        ask: dict[str, str] = {}
        unheard: list[str] = []
        text = text[:_MOST_TEXT].replace("'", "").replace("’", "")
        for form, sign in self._parted.items():
            if form.search(text):
                (seen if form.fullmatch(text.strip()) else guesses).setdefault(sign, text.strip())
                text = form.sub(" , ", text)
        for piece in _pieces(text):
            before = (len(seen), len(absent), len(guesses), len(ask))
            self._piece(piece, seen, absent, guesses, ask)
            if before == (len(seen), len(absent), len(guesses), len(ask)):
                unheard.append(piece)
        absent = {sign: words for sign, words in absent.items() if sign not in seen}
        guesses = {s: words for s, words in guesses.items() if s not in seen and s not in absent}
        return PhraseHits(seen, absent, guesses, tuple(ask.items()), tuple(unheard))

    def parted(self, text: str) -> bool:
        """Whether the text holds a phrase that must not be cut at its comma or "and"."""
        text = text[:_MOST_TEXT].replace("'", "").replace("’", "")
        return any(form.search(text) for form in self._parted)

    def _piece(
        self,
        piece: str,
        seen: dict[str, str],
        absent: dict[str, str],
        guesses: dict[str, str],
        ask: dict[str, str],
    ) -> None:
        said = plain(piece)
        if said in self._phrases:
            seen.setdefault(self._phrases[said], piece)
            return
        negated = _NEGATION.match(said)
        if negated and (sign := self._exact_or_within(negated[2])):
            absent.setdefault(sign, piece)
            return
        if said in self._never:
            ask.setdefault(piece, self._never[said])
            return
        within = self._within(said, self._phrases)
        for phrase in within:
            guesses.setdefault(self._phrases[phrase], piece)
        rest = _without(said, within)
        for word in self._within(rest, self._never):
            ask.setdefault(word, self._never[word])
        if not within and not ask and not negated:
            near = self._near(said) or self._less_small_words(said)
            if near:
                guesses.setdefault(self._phrases[near], piece)

    def _exact_or_within(self, said: str) -> str | None:
        if said in self._phrases:
            return self._phrases[said]
        within = self._within(said, self._phrases)
        phrase = within[0] if within else self._less_small_words(said)
        return self._phrases[phrase] if phrase else None

    @staticmethod
    def _within(said: str, phrases: Iterable[str]) -> list[str]:
        """Phrases that stand in the text as whole words, longest first, none inside another."""
        padded = f" {said} "
        found: list[str] = []
        for phrase in sorted(phrases, key=len, reverse=True):
            if phrase and f" {phrase} " in padded:
                found.append(phrase)
                padded = padded.replace(f" {phrase} ", " | ")
        return found

    def _near(self, said: str) -> str | None:
        """The phrase a mistyped text most resembles; never one of the words that are no signs."""
        if len(said) < 4 or len(said.split()) > 8:
            return None
        if near_words(said, self._never, closeness=CLOSE):
            return None
        near = near_words(said, self._phrases, closeness=CLOSE)
        return near[0] if near else None

    def _less_small_words(self, said: str) -> str | None:
        """The longest phrase that stands in the text once small words are left out of both.

        Or the phrase of just these words in another order: "fins are clamped".
        """
        bare = _bare(said)
        within = self._within(bare, self._bare)
        return self._bare[within[0]] if within else self._sets.get(frozenset(bare.split()))


def _bare(said: str) -> str:
    return " ".join(word for word in said.split() if word not in _SMALL)


def _pieces(text: str) -> list[str]:
    parts = re.split(r"[,;.\n]|\s+and\s+|\s+but\s+", text)
    return [part.strip() for part in parts if plain(part)]


def _spaced(words: str) -> re.Pattern[str]:
    """The words of a phrase in order, whatever stands between them."""
    return re.compile(r"\b" + r"[\W_]+".join(map(re.escape, plain(words).split())) + r"\b", re.I)


def _without(said: str, phrases: Iterable[str]) -> str:
    padded = f" {said} "
    for phrase in phrases:
        padded = padded.replace(f" {phrase} ", " ")
    return padded.strip()
