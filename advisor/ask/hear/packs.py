"""How a lot is packed: so many a bag, a box, so many bags and boxes; and what that makes in all."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass

_BAGS = r"(?:poly)?bags?|bgs|packets?|pkts?|beutel\w*|bolsas?|sacks?|pouches|pouch|breathers?"
_BOXES = r"box(?:es)?|bxs?|cartons?|ctns?|styros?|cases?|crates?"
_PER = r"(?:per|a|an|each|every|to (?:a|the|each)|in (?:a|each|every)|/|x|pro|por)"
_N = r"(?<![\w.,])(\d+)(?![.,]?\d)"
#: Words of a name between a number and what it is told of: "25 cardinal tetras per bag".
_NAMES = r"(?:\s+(?!and\b|in\b|bags?\b)[a-z]+){1,3}?"
_FISH = r"(?:\s*(?:fish|pcs|pieces|head|of (?:them|each)))?"


@dataclass(frozen=True)
class Pack:
    """What was said of the packing; ``text`` is the line without it.

    fish : number that the packing makes in all, where it was told bag by bag or box by box
    """

    text: str
    bags: int | None = None
    boxes: int | None = None
    fish: int | None = None
    singly: bool = False
    doubt: str = ""


def pack(text: str) -> Pack:
    """Read the packing of one lot out of a line (small letters, numbers in figures)."""
    found: dict[str, int] = {}

    def take(name: str, form: str, group: int = 1) -> None:
        nonlocal text
        hit = re.search(form, text)
        if hit and name not in found:
            found[name] = int(hit[group])
            text = f"{text[: hit.start()]} , {text[hit.end() :]}"

    singly = bool(
        re.search(
            rf"\b(?:individually|singly|singles?|one|1)\s*(?:bagged|packed|cups?|(?:{_PER}) (?:{_BAGS}))|\bsingles\b|\bsingle bag\w*|\beach in (?:its |their )?own\b|\b1 (?:{_BAGS}) each\b|\bcupped\b|\b(?:bagged|packed) (?:singly|individually|single)\b",
            text,
        )
    )
    if singly:
        text = re.sub(
            rf"\b(?:individually|singly|singles?|one|1)\s*(?:bagged|packed|cups?|bags?|(?:{_PER}) (?:{_BAGS}))|\bsingles\b|\bindividually\b|\bsingly\b|\beach in (?:its |their )?own(?: bags?| cups?)?\b|\b1 (?:{_BAGS}) each\b",
            " , ", text,
        )  # fmt: skip
    text = re.sub(r"\b(?:double|triple|2x) ?bagged\b", " , ", text)
    take("bags_a_box", rf"{_N}\s*(?:{_BAGS})\s*{_PER}\s*(?:{_BOXES})\b")
    if re.search(rf"\b(?:{_BOXES})\b", text):
        take("bags_a_box", rf"{_N}\s*(?:{_BAGS})\s+(?:in )?each\b")
    hit = re.search(
        rf"{_N}\s*(?:{_BOXES})\s*(?:x|of|@|with)\s*{_N}\s*(?:{_BAGS})\b(?:\s*(?:x|of|@|with)\s*{_N})?",
        text,
    )
    if hit:
        found |= {"boxes": int(hit[1]), "bags_a_box": int(hit[2])}
        found |= {"per_bag": int(hit[3])} if hit[3] else {}
        text = text.replace(hit[0], " , ")
    hit = re.search(
        rf"{_N}\s*(?:{_BAGS})\s*(?:of|a|à|@|with|x|each|at|mit|,)?\s*(?:with )?{_N}{_FISH}(?:\s*(?:each|in each|per bag|a bag))?",
        text,
    )
    if hit and not re.match(r"\s*(?:kg|cm|l\b|mm|lit)", text[hit.end() :]) and "," not in hit[0]:
        found |= {"bags": int(hit[1]), "per_bag": int(hit[2])}
        text = f"{text[: hit.start()]} , {text[hit.end() :]}"
    hit = re.search(rf"{_N}\s*(?:{_BOXES})\s*(?:of|x|@|with|à)\s*{_N}\b", text)
    if hit and "boxes" not in found:
        found |= {"boxes": int(hit[1]), "per_box": int(hit[2])}
        text = text.replace(hit[0], " , ")
    hit = re.search(rf"{_N}\s*(?:{_BOXES}|{_BAGS})((?: [a-z]+){{1,3}})\s*@\s*{_N}\b", text)
    if hit and not {"boxes", "bags"} & set(found):
        unit = "box" if re.search(rf"^\d+\s*(?:{_BOXES})", hit[0]) else "bag"
        found |= {"boxes" if unit == "box" else "bags": int(hit[1]), f"per_{unit}": int(hit[3])}
        text = text.replace(hit[0], f" {hit[2]} ")
    take("per_bag", rf"{_N}{_FISH}\s*{_PER}\s*(?:{_BAGS})\b(?!\s*\d)")
    take("per_box", rf"{_N}{_FISH}\s*{_PER}\s*(?:{_BOXES})\b(?!\s*\d)")
    take(
        "bags",
        rf"(?:\b(?:in|total|over|across|split (?:in|over|across|between))\s+)?{_N}\s*(?:{_BAGS})\b",
    )
    take("boxes", rf"(?:\b(?:in|total|over|across)\s+)?{_N}\s*(?:{_BOXES})\b")
    for unit, form in (("bag", _BAGS), ("box", _BOXES)):
        hit = re.search(rf"{_N}({_NAMES})\s+(?:per|an?|each|every|/)\s*(?:{form})\b(?!\s*\d)", text)
        if hit and f"per_{unit}" not in found:
            found[f"per_{unit}"] = int(hit[1])
            text = f"{text[: hit.start()]} {hit[2]} {text[hit.end() :]}"
    hit = re.search(rf"{_N}({_NAMES})\s+(?:in )?each\b", text)
    if hit and "bags" in found and "per_bag" not in found:
        found["per_bag"] = int(hit[1])
        text = f"{text[: hit.start()]} {hit[2]} {text[hit.end() :]}"
    each = re.search(rf"{_N}{_FISH}\s+(?:in )?each\b|\beach (?:with|has|of)?\s*{_N}\b", text)
    if each and "per_bag" not in found and ("bags" in found or "boxes" in found):
        found["per_bag" if "bags" in found else "per_box"] = int(each[1] or each[2])
        text = text.replace(each[0], " , ")
    return _summed(text, found, singly)


def _summed(text: str, found: dict[str, int], singly: bool) -> Pack:
    bags, boxes = found.get("bags"), found.get("boxes")
    if boxes is not None and "bags_a_box" in found:
        bags = boxes * found["bags_a_box"]
    fish = None
    if "per_bag" in found and bags is not None:
        fish = bags * found["per_bag"]
    elif "per_box" in found and boxes is not None:
        fish = boxes * found["per_box"]
    doubt = "How many fish in all?" if fish is None and {"per_bag", "per_box"} & set(found) else ""
    return Pack(text, bags, boxes, fish, singly, doubt)
