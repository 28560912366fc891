"""What a careful reader objects to: each remark provoked in a small rule base, and its words."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.check import check
from advisor.rulebase.conditions import Leaf
from advisor.rulebase.implied import implies, leaf_implies
from tests.tiny import RULES, SETTINGS

JUDGED = "source = [{ ref = 'judgement', basis = 'judgement' }]\n"
GASPS, DO = "sign = 'gasping'", "reading = 'tank_do_mg_l'"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def told(folder: Path, more: str = "", rules: str = RULES) -> set[str]:
    folder.mkdir(exist_ok=True)
    (folder / "rulebase.toml").write_text(SETTINGS)
    (folder / "rules.toml").write_text(rules + more)
    return {f"{r.severity}: {r.where}: {r.text}" for r in check(load_rulebase(folder))}


def entry(of: str, /, **given: str) -> str:
    return f"\n[[{of}]]\n" + "".join(f"{k} = {v}\n" for k, v in given.items()) + JUDGED


def rule(name: str, when: str, **given: str) -> str:
    more = {"supports": "'short_of_air'"} if "opposes" not in given else {}
    lines = {"id": f"'{name}'", "strength": "'weak'", "because": "'x'", "when": f"{{ {when} }}"}
    return entry("rule", **(lines | more | given))


def action(name: str, **given: str) -> str:
    lines = {"id": f"'{name}'", "text": "'x'", "because": "'x'", "time": "'now'"}
    return entry("action", **(lines | {"needed_for": "['short_of_air']"} | given))


def question(**given: str) -> str:
    lines = {"id": "'q'", "text": "'x'", "help": "'x'", "because": "'x'", "cost_seconds": "5"}
    return entry("question", **(lines | given))


CAUSE = entry(
    "cause", id="'c'", name="'x'", summary="'x'", direction="'x'", kind="'water'", prove="'x'",
    prior="{ arrival = 0, day_2_4 = 0, day_5_14 = 0 }",
)  # fmt: skip
SPECIES = "".join(
    entry(
        "species", id=f"'{i}'", scientific=f"'Aa {i}'", name=f"'{i}'", also="['tet']", group="'g'"
    )
    for i in "xy"
)
LIMITS = "".join(
    entry("limit", id=f"'l{v}'", parameter="'do'", value=v, unit="'mg/L'", meaning="'low'")
    for v in "12"
)

OBJECTIONS = [
    ("fault", CAUSE, "cause c: no rule supports this cause"),
    ("fault", CAUSE, "cause c: nothing can speak against this cause"),
    ("fault", CAUSE, "cause c: no action is needed for this cause"),
    ("remark", entry("sign", id="'s'", name="'s'", look_for="'x'"),
     "sign s: no rule, finding or action uses this sign"),
    ("remark", entry("history", id="'h'", name="'h'"), "history h: no condition uses this item"),
    ("remark", entry("trait", id="'t'", name="'t'", meaning="'x'"),
     "trait t: no condition uses this trait"),
    ("remark", LIMITS, "limit l1: no condition uses this limit"),
    ("fault", LIMITS, "limit l1: one meaning with different values: l1, l2"),
    ("remark", entry("finding", id="'f'", name="'x'", because="'x'", when=f"{{ {GASPS} }}"),
     "finding f: no condition uses this finding"),
    ("remark", "\n[[source]]\nid = 'book'\ncitation = 'x'\n",
     "source book: nothing cites this source"),
    ("fault", entry("caution", id="'c'", text="'x'"),
     "caution c: no action or condition shows it"),
    ("fault", entry("vet", id="'v'", text="'x'", because="'x'", urgency="'now'"),
     "vet v: nothing ever brings up this note"),
    ("fault", rule("r", f"{DO}, above = 400"),
     "quantity tank_do_mg_l: compared with 400, outside its possible 0 to 60"),
    ("remark", "".join(rule(f"r{n}", f"{DO}, above = {n}") + rule(f"s{n}", f"{DO}, below = 4.5")
                       for n in (1, 2, 3)),
     "quantity tank_do_mg_l: 4.5 stands bare in 3 entries; make it a limit"),
    ("fault", entry("group", id="'g'", name="'x'", because="'x'") + SPECIES,
     'species y: "tet" is also a name of x'),
    # pairs
    ("fault", rule("twin", GASPS),
     "rule twin: the same condition counts again in rule air-gasping; give both one group"),
    ("fault", rule("both", GASPS, opposes="'short_of_air'"),
     "rule both: the same condition speaks for and against in rule air-gasping"),
    ("remark", rule("narrow", f"all = [{{ {GASPS} }}, {{ {DO}, below = 1 }}]"),
     "rule narrow: whenever it fires rule air-gasping fires and counts too; one group, or "
     "counts_with?"),
    ("remark", rule("apart", f"{DO}, below = 1", counts_with="['air-gasping']"),
     "rule apart: counts_with air-gasping, but the two need not meet"),
    ("remark", rule("odd", f"{DO}, surely_at_least = 7", supports="'short_of_air'"),
     "rule odd: whenever it speaks for the cause, rule air-plenty speaks the other way; "
     "if meant, say counts_with"),
    # actions
    ("fault", action("a", needed_for="[]"), "action a: nothing ever proposes this action"),
    ("fault", action("a", emergency="true", time="'today'"),
     "action a: an emergency whose time is today; make it now"),
    ("fault", action("a", requires=f"{{ {GASPS} }}"),
     "action a: requires something but does not say why; give requires_because"),
    ("remark", action("a", requires_because="'x'"),
     "action a: requires_because stands without requires"),
    ("fault", action("a", amount="{ formula = 'salt_g' }"),
     "action a: puts a substance into the water and carries no caution"),
    ("fault", action("a", gentle="true", amount="{ formula = 'salt_g' }"),
     "action a: is called gentle, yet puts a substance into the water; that cannot be undone"),
    ("fault", action("a", gentle="true", authority="'vet'"),
     "action a: is called gentle, yet needs the vet's word"),
    ("remark", action("a", undoes="['air']"),
     "action a: undoes air, and both are called for at once by short_of_air"),
    ("fault", action("a", forbidden=f"[{{ when = {{ standing = 'short_of_air', at_least = "
                     f"'possible' }}, because = 'it hides the cause', {JUDGED.strip()} }}]"),
     "action a: forbidden whenever it is called for: it hides the cause"),
    ("fault", action("a", when=f"{{ {DO}, below = 3 }}", needed_for="[]", requires_because="'x'",
                     requires=f"{{ {DO}, above = 5 }}"),
     "action a: what it requires contradicts what calls for it"),
    # questions
    ("remark", question(kind="'text'"),
     "question q: settles no sign, reading, history item or field"),
    ("fault", question(kind="'choice'", choices="{ 'weather=wet' = 'rain' }"),
     'question q: choice "weather=wet": no history item "weather"'),
    ("fault", question(kind="'choice'", choices="{ 'invertebrates=some' = 'some' }"),
     'question q: choice "invertebrates=some": invertebrates has no answer "some"'),
    ("fault", question(kind="'choice'", history="'invertebrates'", choices="{ maybe = 'x' }"),
     'question q: choice "maybe": invertebrates has no answer "maybe"'),
    ("remark", question(kind="'signs'", signs="['calm']"),
     "sign gasping: conditions use this sign, but no question asks for it"),
    ("remark", question(kind="'signs'", signs="['calm']"),
     "history invertebrates: conditions use this item, but no question asks for it"),
    ("remark", question(kind="'signs'", signs="['calm']"),
     "quantity tank_do_mg_l: conditions use this reading, but no question asks for it"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("severity", "more", "says"), OBJECTIONS, ids=[says[:50] for _, _, says in OBJECTIONS]
)
def test_each_objection_in_its_words(tmp_path: Path, severity: str, more: str, says: str) -> None:
    before = told(tmp_path / "a")
    after = told(tmp_path / "b", more)
    assert f"{severity}: rules/rules.toml, {says}" in after - before


def test_what_is_sound_is_not_objected_to(tmp_path: Path) -> None:
    grouped = rule("twin", GASPS, group="'breath'")
    asked = question(kind="'choice'", history="'invertebrates'", choices="{ unknown = 'x' }")
    field = question(kind="'number'", field="'receiving.invertebrates'")
    kept = question(kind="'choice'", choices="{ 'invertebrates=no released=yes' = 'x' }")
    for more, silent in (
        (grouped, "twin"),
        (asked, 'choice "'),
        (field, "history invertebrates: conditions use"),
        (kept, 'choice "'),
        (action("a", undoes="['air']", time="'today'"), "called for at once"),
        (action("a", undoes="['air']", needed_for="['resting']"), "called for at once"),
        (entry("caution", id="'c'", text="'x'", always="true"), "caution c"),
    ):
        new = told(tmp_path / "b", more) - told(tmp_path / "a")
        assert not [line for line in new if silent in line], more


def test_the_shipped_rules_have_no_fault(base: RuleBase) -> None:
    assert [r for r in check(base) if r.severity == "fault"] == []


def leaf(op: str, value: float | bool | str, kind: str = "value", name: str = "ph") -> Leaf:
    return Leaf(kind, name, op, value)  # type: ignore[arg-type]


FOLLOWS = [
    (leaf(">", 7), leaf(">", 6)),
    (leaf(">", 7), leaf(">=", 7)),
    (leaf(">=", 7.1), leaf(">", 7)),
    (leaf("<", 6), leaf("<=", 6)),
    (leaf("<=", 6), leaf("<", 6.1)),
    (leaf(">", 7), leaf("!=", 7)),
    (leaf("==", 5), leaf("<", 6)),
    (leaf("==", 5), leaf("!=", 6)),
    (leaf("==", "new", "history"), leaf("!=", "old", "history")),
    (leaf("!=", False, "sign"), leaf("==", True, "sign")),
    (leaf(">", 7, "low"), leaf(">", 7)),
    (leaf(">", 7), leaf(">=", 6, "high")),
    (leaf("<", 6, "high"), leaf("<", 6, "low")),
]
FOLLOWS_NOT = [
    (leaf(">=", 7), leaf(">", 7)),
    (leaf(">", 6), leaf(">", 7)),
    (leaf(">", 7), leaf("<", 9)),
    (leaf(">=", 7), leaf("!=", 7)),
    (leaf(">", 7), leaf("!=", 8)),
    (leaf("!=", 5), leaf("<", 6)),
    (leaf(">", 7, "high"), leaf(">", 7)),
    (leaf("<", 6, "low"), leaf("<", 6)),
    (leaf(">", 7), leaf(">", 6, name="do")),
    (leaf("==", True, "sign"), leaf("==", False, "sign")),
    (leaf("==", True, "sign"), leaf("==", True, "finding")),
]


@pytest.mark.parametrize(("one", "other"), FOLLOWS)
def test_what_follows(one: Leaf, other: Leaf) -> None:
    assert leaf_implies(one, other)
    assert implies([[one]], [[other]])
    assert implies([[one, leaf("<", 1, name="x")]], [[other], [leaf(">", 5, name="y")]])
    assert not implies([[one], [leaf(">", 5, name="y")]], [[other]])


@pytest.mark.parametrize(("one", "other"), FOLLOWS_NOT)
def test_what_does_not_follow(one: Leaf, other: Leaf) -> None:
    assert not leaf_implies(one, other)


@pytest.mark.parametrize("one_op", ["<", "<=", ">", ">=", "==", "!="])
@pytest.mark.parametrize("other_op", ["<", "<=", ">", ">=", "==", "!="])
def test_an_implication_is_never_claimed_wrongly(one_op: str, other_op: str) -> None:
    grid = [n / 2 for n in range(-1, 8)]
    for x in range(4):
        for y in range(4):
            one, other = leaf(one_op, float(x)), leaf(other_op, float(y))
            met = [v for v in grid if one.holds({("value", "ph"): v})]
            truth = all(other.holds({("value", "ph"): v}) for v in met)
            assert leaf_implies(one, other) == truth or not leaf_implies(one, other)
            if "!=" not in (one_op, other_op):
                assert leaf_implies(one, other) == truth, (one, other)
