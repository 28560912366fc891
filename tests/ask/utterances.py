"""What people type against what a careful person takes it to mean.

    python -m tests.ask.utterances            figures, both halves
    python -m tests.ask.utterances --show     what went wrong or was missed, of the half to tune on
    python -m tests.ask.utterances --fresh    the later hands as well, each file by itself
    python -m tests.ask.utterances --write-known    lists anew the read lines not heard right

The utterances were written blind, from the questions and ids alone, and every second one is
kept for scoring: it is never shown here. The ``fresh`` files are by later hands; each was
scored once before it was read, and its head says how that run went. Their file says how they are
to be scored, and so it is done: ``right`` equals the meaning or another acceptable one, whole;
``wrong`` takes a fact that stands in none of them, or takes facts without asking where a person
would ask back; ``missed`` is everything else, facts left unknown or asked for.
"""

from __future__ import annotations

import argparse
import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from advisor.case import Case, loads_case
from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.species import find_species

FOLDER = Path(__file__).parents[1] / "reference" / "utterances"
#: Lines that were read and are not heard right today, a line each: verdict, question, text.
KNOWN = Path(__file__).with_name("lines_not_right.tsv")
NOW = datetime(2026, 11, 25, 15, 0)  # a Wednesday
Heard = Mapping[str, Any]
Facts = dict[tuple[str, ...], Any]
#: Case fields as the utterances name them; numbers within 1 %.
FIELDS = (
    "at_hours", "hours_sealed", "bag_water_l", "bags", "mass_g", "volume_l", "age_days",
    "fasted_hours", "air_low_c", "air_high_c", "dead_on_arrival", "delay_hours",
)  # fmt: skip
#: Beside a fact asked for, not a fact of its own: a lot's band, what was typed, doubt.
NUMBER, READING, GRAVITY = 0.011, 0.031, 0.051


def utterances(which: str = "utterances-*.toml") -> list[dict[str, Any]]:
    found = []
    for path in sorted(FOLDER.glob(which)):
        for rows in tomllib.loads(path.read_text(encoding="utf-8")).values():
            found += rows
    return found


def facts_of(means: Heard, base: RuleBase) -> Facts:
    """The single facts of a meaning, by what they are about."""
    found: Facts = {("sign", s): True for s in means.get("signs_seen", ())}
    found |= {("sign", s): False for s in means.get("signs_not_seen", ())}
    found |= {("count", k): v for k, v in means.get("counts", {}).items()}
    found |= {("history", k): v for k, v in means.get("history", {}).items()}
    found |= {("field", k): means[k] for k in FIELDS if means.get(k) is not None}
    if means.get("place"):
        found[("place",)] = means["place"]
    for reading in means.get("readings", ()):
        of = ("reading", str(reading["water"]), str(reading["parameter"]))
        found[of] = reading["value"]
        if reading.get("limit"):
            found[(*of, "limit")] = reading["limit"]
        if reading.get("kit") in ("strip", "drops", "meter", "colour_card", "lab"):
            found[(*of, "kit")] = reading["kit"]
    for at, lot in enumerate(means.get("lots", ())):
        name = lot.get("species") or lot.get("group") or lot.get("not_known")
        if name:
            found[("lot", str(at), "kind")] = kind(lot, base)
        for key in ("count", "bags", "bag_water_l", "length_cm", "dead_on_arrival"):
            if lot.get(key) is not None:
                found[("lot", str(at), key)] = lot[key]
    return found


def kind(lot: Heard, base: RuleBase) -> str:
    """One name for a kind: the species, else the group, else that it is not known."""
    if lot.get("not_known"):
        return "not known"
    species = find_species(lot["species"], base) if lot.get("species") else None
    if species is not None:
        return f"species {species.id}"
    return f"group {lot['group']}" if lot.get("group") else f"named {lot.get('species')}"


def same(key: tuple[str, ...], one: Any, other: Any) -> bool:
    if isinstance(one, str) or isinstance(other, str) or isinstance(one, bool):
        return bool(one == other)
    most = NUMBER
    if key[0] == "reading":
        most = GRAVITY if key[2] == "salinity_g_kg" else READING
    return bool(abs(one - other) <= most * max(abs(one), abs(other)) + 1e-9)


def verdict(row: Heard, heard: Heard, base: RuleBase) -> str:
    """right, missed or wrong."""
    got = facts_of(heard, base)
    asks = bool(heard.get("ask_back"))
    options = [row["means"], *row.get("also", ())]
    options += [_basis_asked(option) for option in options if _no_basis(option, row["text"])]
    best = "wrong"
    for option in options:
        want = facts_of(option, base)
        extra = [k for k, v in got.items() if k not in want or not same(k, want[k], v)]
        if ("kit" in [k[-1] for k in extra]) and all(k[-1] == "kit" for k in extra):
            extra = []  # which kit was used is beside the point of this utterance
        empty = option.get("unknown") or option.get("nothing")
        if extra and not (option.get("nothing") and _only_denials(got)):
            continue
        if option.get("ask") and not asks:
            continue
        lacks = [k for k in want if k not in got]
        if lacks or (asks and not option.get("ask")):
            best = "missed"
            continue
        if empty and not (heard.get("unknown") or heard.get("nothing") or want):
            best = "missed"
            continue
        return "right"
    return best


def _no_basis(option: Heard, text: str) -> bool:
    """Ammonia without what it is counted as: any basis is accepted, and asking too."""
    named = any(r["parameter"] == "tan_mg_l" and r["value"] for r in option.get("readings", ()))
    return named and not re.search(r"\bn\b|nh[34]|-n|nitrogen|as n", text.casefold())


def _basis_asked(option: Heard) -> Heard:
    rest = [r for r in option["readings"] if r["parameter"] != "tan_mg_l"]
    return {**option, "readings": rest, "ask": True}


def _only_denials(got: Facts) -> bool:
    """Saying that no line of the question holds may be told as each of them denied."""
    return all(value in (False, "no", 0) for value in got.values())


def case_of(row: Heard) -> tuple[Case | None, Mapping[str, Any]]:
    """What is known already when the line is typed."""
    given = dict(row.get("given", {}))
    text = 'format = "arrival-case-1"\n'
    if "count" in given:
        text += f'[[lot]]\nid = "a"\ncount = {given["count"]}\n'
    if "tank_temperature_c" in given:
        warm = given["tank_temperature_c"]
        text += f"[[observation]]\nat_hours = 0\ntank = {{ temperature_c = {warm} }}\n"
    if "before" in given:
        signs = ", ".join(f'"{sign}"' for sign in given["before"])
        text += f"[[observation]]\nat_hours = 0\nseen = [{signs}]\n"
    return (loads_case(text) if len(given) - ("now" in given) else None), given


def score(
    hear: Callable[[str, str, Case | None, Mapping[str, Any]], Heard],
    base: RuleBase,
    which: str = "utterances-*.toml",
) -> Iterator[tuple[dict[str, Any], Heard, str]]:
    for row in utterances(which):
        case, given = case_of(row)
        heard = hear(row.get("typed_at", row["question"]), row["text"], case, given)
        yield row, heard, verdict(row, heard, base)


def figures(results: list[tuple[dict[str, Any], Heard, str]]) -> dict[str, dict[str, float]]:
    """Per half: how many, and the shares right, missed and wrong."""
    found = {}
    for half in ("tune", "kept"):
        mine = [v for row, _, v in results if bool(row.get("kept")) == (half == "kept")]
        if not mine:
            continue
        counted = Counter(mine)
        found[half] = {"utterances": len(mine)} | {
            word: 100 * counted[word] / len(mine) for word in ("right", "missed", "wrong")
        }
    return found


#: What was heard once in this process: three tests score the same lines.
_HEARD: dict[tuple[str, str, str], Heard] = {}


def listen(question: str, text: str, case: Case | None, given: Mapping[str, Any]) -> Heard:
    """What ``advisor.hear`` takes a line to mean, at the hour the line was written for."""
    import advisor

    line = (question, text, repr(given))
    if line not in _HEARD:
        now = datetime.fromisoformat(given["now"]) if "now" in given else NOW
        _HEARD[line] = advisor.hear(question, text, case, now=now)
    return _HEARD[line]


def not_right(base: RuleBase) -> list[str]:
    """Lines that were read and are missed or wrong, as KNOWN lists them."""
    results = [*score(listen, base), *score(listen, base, "fresh-*.toml")]
    return sorted(
        "\t".join((found, row["question"], " ".join(row["text"].split())))
        for row, _, found in results
        if found != "right" and not row.get("kept")
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--show", nargs="*", metavar="QUESTION", help="what was missed or wrong")
    parser.add_argument("--fresh", action="store_true", help="the later hands too")
    parser.add_argument("--by-question", action="store_true", help="counts for each question")
    parser.add_argument("--write-known", action="store_true", help="list anew what is not right")
    asked = parser.parse_args()
    base = load_rulebase()
    if asked.write_known:
        KNOWN.write_text("".join(f"{line}\n" for line in not_right(base)), encoding="utf-8")
        return
    results = list(score(listen, base))
    for half, numbers in figures(results).items():
        shares = ", ".join(f"{w} {numbers[w]:.1f} %" for w in ("right", "missed", "wrong"))
        print(f"{half}: {numbers['utterances']:.0f} utterances; {shares}")
    if asked.fresh:
        for path in sorted(FOLDER.glob("fresh-*.toml")):
            (numbers,) = figures(list(score(listen, base, path.name))).values()
            shares = ", ".join(f"{w} {numbers[w]:.1f} %" for w in ("right", "missed", "wrong"))
            print(f"{path.stem}: {numbers['utterances']:.0f} utterances; {shares}")
    if asked.by_question:
        for half in ("tune", "kept"):
            counted = Counter(
                (r["question"], v) for r, _, v in results if bool(r.get("kept")) == (half == "kept")
            )
            for name in sorted({q for q, _ in counted}):
                n = {w: counted[name, w] for w in ("right", "missed", "wrong")}
                if n["missed"] or n["wrong"]:
                    print(half, name, n)
    if asked.show is not None:
        for row, heard, found in results:
            if (
                not row.get("kept")
                and found != "right"
                and (not asked.show or row["question"] in asked.show)
            ):
                told = {
                    k: v for k, v in heard.items() if v and k not in ("format", "question", "text")
                }
                print(f"{found:6} {row['question']} | {row['text']} | {row['means']} | {told}")


if __name__ == "__main__":
    main()
