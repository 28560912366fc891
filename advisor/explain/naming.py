"""What a person means by an id, by words, or by nearly one of them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from advisor.errors import AdvisorError
from advisor.explain.audit_form import Kind
from advisor.explain.study import Study
from advisor.wording.nearest import near_words

#: Kinds in the order in which an id that several share is taken.
ORDER: tuple[Kind, ...] = (
    "cause", "action", "caution", "vet", "notice", "finding", "question", "rule", "fact",
    "move", "fit", "doubt",
)  # fmt: skip
Meant = tuple[Kind, str]


def meant(text: str, study: Study) -> Meant:
    """(kind, id) of what ``text`` names.

    Taken are an id ("nitrite"), an id with its kind ("action:air_tank"), a name
    in words ("want of oxygen"), and words that only one statement of this case
    holds ("lights down"). Raises AdvisorError with the nearest names otherwise.
    """
    names = dict(_ids(study))
    key = re.sub(r"\s+", " ", text).strip().casefold()
    for spelling in (key, key.replace(" ", "_"), key.replace(" ", "-")):
        if spelling in names:
            return names[spelling]
    words = _words(study)
    if key in words:
        return words[key]
    within = {target for name, target in words.items() if _within(key, name)}
    shown = {target for target in within if target in _shown(study)}
    for found in (shown, within):
        if len(found) == 1:
            return found.pop()
    raise AdvisorError(_not_found(text, list(shown or within), names, words))


def _within(key: str, name: str) -> bool:
    """Whether all words of ``key`` are words of ``name``; one word alone needs a short name."""
    have = re.findall(r"\w+", name)
    wanted = re.findall(r"\w+", key)
    return wanted != [] and set(wanted) <= set(have) and (len(wanted) > 1 or len(have) <= 6)


def _not_found(
    text: str, several: list[Meant], names: Mapping[str, Meant], words: Mapping[str, Meant]
) -> str:
    if several:
        listed = ", ".join(sorted(f"{kind}:{name}" for kind, name in several)[:6])
        return f'"{text}" can mean several things: {listed}. Give one of these ids.'
    key = text.casefold()
    ids = [name for name in names if ":" not in name]
    near = near_words(key.replace(" ", "_"), ids, 3)
    near += [_id(words[w]) for w in near_words(key, words, 3)]
    listed = ", ".join(dict.fromkeys(near))
    hint = f"; did you mean {listed}?" if near else "; see the ids with: advisor rules"
    return f'"{text}" is no cause, action, caution, note, finding, rule or reading{hint}'


def _id(target: Meant) -> str:
    kind, name = target
    return name if kind != "fact" else name.partition(":")[2]


def _tables(study: Study) -> dict[Kind, Mapping[str, Any]]:
    base = study.base
    return {
        "cause": base.causes,
        "action": base.actions,
        "caution": base.cautions,
        "vet": base.vet_notes,
        "notice": base.notices,
        "finding": base.findings,
        "question": base.questions,
        "rule": base.rules,
        "move": base.moves,
        "fit": base.fits,
        "doubt": base.doubts,
    }


def _facts(study: Study) -> Iterator[tuple[str, Any]]:
    """Key and entry of every fact the rule base can ask for."""
    base = study.base
    for quantity in base.quantities.values():
        yield f"{quantity.kind}:{quantity.id}", quantity
    for kind, table in (("sign", base.signs), ("history", base.history), ("trait", base.traits)):
        for entry in table.values():
            yield f"{kind}:{entry.id}", entry


def _ids(study: Study) -> Iterator[tuple[str, Meant]]:
    """Every id, alone and with its kind; where several kinds share one, the first of ORDER."""
    found: dict[str, Meant] = {}
    for kind in ORDER:
        entries = _facts(study) if kind == "fact" else _tables(study)[kind].items()
        for name, _ in entries:
            plain = name.partition(":")[2] if kind == "fact" else name
            found.setdefault(plain, (kind, name))
            found.setdefault(f"{kind}:{plain}", (kind, name))
            if kind == "fact":
                found.setdefault(name, (kind, name))
    yield from found.items()


def _words(study: Study) -> dict[str, Meant]:
    """Every name and text in small letters."""
    found: dict[str, Meant] = {}
    for kind, table in _tables(study).items():
        for name, entry in table.items():
            text = getattr(entry, "name", None) or getattr(entry, "text", "")
            if text:
                found.setdefault(text.casefold(), (kind, name))
    for key, entry in _facts(study):
        found.setdefault(entry.name.casefold(), ("fact", key))
    return found


def _shown(study: Study) -> set[Meant]:
    """What the assessment of this case puts on the screen."""
    result = study.result
    shown: set[Meant] = {("cause", c.id) for c in result.causes if c.standing != "unlikely"}
    shown |= {("action", each.id) for each in result.actions}
    shown |= {("action", each.action) for each in result.withheld}
    shown |= {("caution", each.id) for each in result.cautions}
    shown |= {("vet", each.id) for each in result.vet}
    shown |= {("notice", each.id) for each in result.notices}
    return shown
