"""Names of kinds in a typed line, and the lots they make: what each line means, read by hand.

Expected kinds are given by their scientific names, so that the table of kinds says which they are.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.rulebase import RuleBase
from advisor.rulebase.species import find_species
from tests.ask.hearing import hear


def lots(text: str, base: RuleBase) -> list[tuple[str | None, int | None]]:
    """(scientific name or group, count) of each lot heard."""
    found = []
    for lot in hear("kinds", text).get("lots", ()):
        species = find_species(lot["species"], base) if lot.get("species") else None
        found.append((species.scientific if species else lot.get("group"), lot.get("count")))
    return found


def told_more(text: str) -> dict[str, Any]:
    """What the one lot of a line tells beside its kind."""
    (lot,) = hear("kinds", text)["lots"]
    return {k: v for k, v in lot.items() if k not in ("said", "species", "group")}


NEON, CARDINAL, GUPPY = "Paracheirodon innesi", "Paracheirodon axelrodi", "Poecilia reticulata"
PLATY, CHILI = "Xiphophorus maculatus", "Boraras brigittae"


@pytest.mark.parametrize(
    "text, kind",
    [
        # singular, plural, cut short, as the trade says it
        ("10 guppies", GUPPY), ("10 guppys", GUPPY), ("10 guppy", GUPPY), ("10 platies", PLATY),
        ("10 neon tetras", NEON), ("10 neons", NEON), ("10 neon tetra", NEON),
        ("4 lions", "Pterois volitans"), ("4 lion fish", "Pterois volitans"),
        ("2 copperbands", "Chelmon rostratus"), ("2 picasso triggers", "Rhinecanthus aculeatus"),
        ("6 panda corys", "Corydoras panda"), ("6 panda cory", "Corydoras panda"),
        ("6 corydoras panda", "Corydoras panda"), ("3 silver hatchets", "Gasteropelecus sternicla"),
        ("5 red rainbows", "Glossolepis incisus"),
        ("5 boesemani rainbow", "Melanotaenia boesemani"),
        # scientific: whole, by the letter of the genus, cut short
        ("12 Paracheirodon innesi", NEON), ("12 P. innesi", NEON), ("12 p innesi", NEON),
        ("10 B. brigittae", CHILI), ("10 Boraras brig.", CHILI), ("10 boraras brig", CHILI),
        ("10 Boraras", "small_rasboras"), ("20 Paracheirodon, not determined", "softwater_tetras"),
        # slips of the keys: a letter too few, too many, two changed places, the key beside
        ("8 gupies", GUPPY), ("8 gupppies", GUPPY), ("8 gupipes", GUPPY), ("8 guppirs", GUPPY),
        ("8 neon tetars", NEON), ("8 cardinal tetraa", CARDINAL),
        ("8 godlfihs", "Carassius auratus"),
        # sounds written alike
        ("8 muppies", None), ("8 kardinal tetra", None),
        # another word is another kind, or none: it is asked
        ("8 guffles", None), ("8 neot", None), ("8 guppxes", None), ("12 rosy carb", None),
        ("12 golds", None), ("12 whatevers", None),
        # colours and strains are no kind of their own
        ("8 red guppies", GUPPY), ("8 albino long fin guppies", GUPPY), ("8 gold guppies", GUPPY),
        ("8 guppies assorted", GUPPY), ("8 male fancy guppies", GUPPY),
        # a figure that belongs to the name
        ("1 6 line wrasse", "Pseudocheilinus hexataenia"),
        ("three 6 line wrasse", "Pseudocheilinus hexataenia"),
    ],
)  # fmt: skip
def test_one_kind(text: str, kind: str | None, base: RuleBase) -> None:
    heard = hear("kinds", text)
    if kind is None:
        assert "lots" not in heard and heard["ask_back"]
        return
    assert "ask_back" not in heard
    ((found, count),) = lots(text, base)
    numbers = [int(word) for word in text.split() if word.isdecimal()]
    assert (found, count) == (kind, numbers[0] if text[:5] != "three" else 3)


@pytest.mark.parametrize(
    "text, says",
    [
        ("3 clowns", ("clown loach", "clownfish", "clown pleco")),
        ("5 tigers", ("tiger",)),
        ("4 ghosts", ("ghost",)), ("10 shrimp", ("shrimp",)),
    ],
)  # fmt: skip
def test_a_name_of_several_kinds_is_asked_back(text: str, says: tuple[str, ...]) -> None:
    heard = hear("kinds", text)
    assert "lots" not in heard or all("species" not in lot for lot in heard["lots"])
    assert all(word in " ".join(heard["ask_back"]) for word in says)


@pytest.mark.parametrize(
    "text, found",
    [
        ("20 neons, 30 cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("20 neons and 30 cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("20 neons + 30 cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("20 neons / 30 cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("20 neons - 30 cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("neons 20, cardinals 30", [(NEON, 20), (CARDINAL, 30)]),
        ("neons 20 cardinals 30 guppies 5", [(NEON, 20), (CARDINAL, 30), (GUPPY, 5)]),
        ("20 neons 30 cardinals 5 guppies", [(NEON, 20), (CARDINAL, 30), (GUPPY, 5)]),
        ("20 x neons, 30x cardinals", [(NEON, 20), (CARDINAL, 30)]),
        ("neons x 20, cardinals x30", [(NEON, 20), (CARDINAL, 30)]),
        ("we have 20 neons, also a guppy", [(NEON, 20), (GUPPY, 1)]),
        ("20 neons plus a guppy", [(NEON, 20), (GUPPY, 1)]),
        ("a guppy and a neon", [(GUPPY, 1), (NEON, 1)]),
        ("a pair of guppies, 2 pairs of platies", [(GUPPY, 2), (PLATY, 4)]),
        ("3 trios of guppies", [(GUPPY, 9)]),
        ("a dozen neons, half a dozen guppies", [(NEON, 12), (GUPPY, 6)]),
        ("two dozen neons", [(NEON, 24)]),
        ("10 each of neons, cardinals and guppies", [(NEON, 10), (CARDINAL, 10), (GUPPY, 10)]),
        ("neons and cardinals, 20 each", [(NEON, 20), (CARDINAL, 20)]),
        # sexes and young are parts of one number, as collections write them too
        ("3 male 5 female guppies", [(GUPPY, 8)]), ("guppies 3m 5f", [(GUPPY, 8)]),
        ("guppies m3 f5", [(GUPPY, 8)]), ("guppies, 3 males, 5 females", [(GUPPY, 8)]),
        ("2.3 guppies", None), ("2.3 Poecilia reticulata", [(GUPPY, 5)]),
        ("0.0.4 guppies", [(GUPPY, 4)]), ("1.2.3 guppies", [(GUPPY, 6)]),
        ("guppies 1.2, neons 5", [(GUPPY, 3), (NEON, 5)]),
        # a whole and its parts
        ("8 guppies (5 red, 3 blue)", [(GUPPY, 8)]),
        ("20 neons, 8 small 12 large", [(NEON, 20)]),
        ("neons, 30 males, 20 females", [(NEON, 50)]), ("neons; 30 males 20 females", [(NEON, 50)]),
        ("96 neons ordered 100", [(NEON, 96)]), ("20 neons, 20", [(NEON, 20)]),
        ("20 neons, 30 cardinals, 50", [(NEON, 20), (CARDINAL, 30)]),
        # names beside each other: the one that says most
        ("4 goldfish oranda", [("Carassius auratus (fancy)", 4)]), ("4 tetra neon", [(NEON, 4)]),
        ("12 cory panda", [("Corydoras panda", 12)]), ("6 skunk neons", None),
        # what is denied is not there
        ("20 neons, no guppies this time", [(NEON, 20)]),
        ("neons not cardinals, 20", [(NEON, 20)]),
        ("2 guppies, 5 neons - correction, no guppies arrived", [(NEON, 5)]),
        # ordered and got
        ("ordered 100 neons, got 96", [(NEON, 96)]),
        ("invoice says 50 guppies, counted 48 live", [(GUPPY, 48)]),
        ("ordered 20 cardinals but they sent 20 neons", [(NEON, 20)]),
        ("should be 40 neons only 38", [(NEON, 38)]),
        # labels, weights, lengths beside them
        ("fish: 20 neons", [(NEON, 20)]), ("20 neons 0.3 g each", [(NEON, 20)]),
        ("20 neons, 2 cm", [(NEON, 20)]), ("about 20 neons", [(NEON, 20)]),
        ("20 fish", [(None, 20)]), ("20", [(None, 20)]),
        # one lot told in pieces
        ("neons, 20", [(NEON, 20)]), ("20, neons", [(NEON, 20)]),
        ("thirty, all neons", [(NEON, 30)]),
        ("15 peppered corys, 15 bronze", [("Corydoras paleatus", 15), ("Corydoras aeneus", 15)]),
        ("20 corys, pandas", [("Corydoras panda", 20)]),
        ("6 guppies, Poecilia reticulata", [(GUPPY, 6)]),
        ("neons, size M, 100", [(NEON, 100)]),
        ("100 neons size M, 50 size L", [(NEON, 100), (NEON, 50)]),
        ("2 emperors, 3 lionfish", [("Pomacanthus imperator", 2), ("Pterois volitans", 3)]),
        ("6 emperors, 20 neons", [("Nematobrycon palmeri", 6), (NEON, 20)]),
        # so many of them that no room holds them, or none, or less than a whole: asked
        ("2000000 neons", None), ("0 neons", None), ("2.5 neons", None), ("minus 5 neons", None),
        ("20 to 30 neons", None), ("neons", [(NEON, None)]), ("a few neons", None),
    ],
)  # fmt: skip
def test_lots_and_their_numbers(
    text: str, found: list[tuple[str, int]] | None, base: RuleBase
) -> None:
    """None: something has to be asked back, and no number is made up meanwhile."""
    heard = hear("kinds", text)
    if found is None:
        assert heard["ask_back"]
        assert all(lot.get("count") is None for lot in heard.get("lots", ())), heard
        return
    assert lots(text, base) == found
    assert "ask_back" not in heard or found[0][1] is None


@pytest.mark.parametrize(
    "text, more",
    [
        ("100 neons in 4 bags", {"count": 100, "bags": 4}),
        ("4 bags of 25 neons", {"count": 100, "bags": 4}),
        ("neons, 4 bags, 25 a bag", {"count": 100, "bags": 4}),
        ("neons 25 per bag, 4 bags", {"count": 100, "bags": 4}),
        ("2 boxes of 50 neons", {"count": 100}),
        ("2 boxes, 4 bags a box, 25 neons per bag", {"count": 200, "bags": 8}),
        ("2 boxes with 4 bags, 25 neons per bag", {"count": 200, "bags": 8}),
        ("6 discus, bagged singly", {"count": 6, "bags": 6}),
        ("6 discus individually bagged", {"count": 6, "bags": 6}),
        ("6 discus, one per bag", {"count": 6, "bags": 6}),
        ("6 discus in 3 bags, double bagged", {"count": 6, "bags": 3}),
        ("40 guppies in 2 big bags, 4 litres each", {"count": 40, "bags": 2, "bag_water_l": 4}),
        ("40 guppies in 2 bags, 2.5 l a bag", {"count": 40, "bags": 2, "bag_water_l": 2.5}),
        ("25 neons per bag, 4 bags", {"count": 100, "bags": 4}),
        ("4 bags, 25 neon tetras each", {"count": 100, "bags": 4}),
        ("4 bags with 25 neons a bag", {"count": 100, "bags": 4}),
        ("2 boxes, 25 neons per box", {"count": 50}),
        ("4 bags x 25 neons", {"count": 100, "bags": 4}),
        ("2 ctns @ 100 neons", {"count": 200}),
        ("neons 25/bag, 4 bags", {"count": 100, "bags": 4}),
        ("neons, 2 boxes of 4 bags of 25", {"count": 200, "bags": 8}),
        ("4 bags each with 25 neons", {"count": 100, "bags": 4}),
        ("neons in 4 bags", {"bags": 4}),
        ("100 neons split over 4 bags and 2 boxes", {"count": 100, "bags": 4}),
        ("100 neons in a bag", {"count": 100}),
        ("40 guppies, 3 cm", {"count": 40, "length_cm": 3}),
        ("40 guppies 3-4 cm", {"count": 40, "length_cm": 3.5}),
        ("4 koi 10 inch", {"count": 4, "length_cm": 25.4}),
        ('4 koi 8-10"', {"count": 4, "length_cm": 22.86}),
        ("4 koi, 1 foot long", {"count": 4, "length_cm": 30.48}),
        ("40 guppies 25 mm", {"count": 40, "length_cm": 2.5}),
        ("40 guppies, 3,5 cm", {"count": 40, "length_cm": 3.5}),
        ("40 guppies 3cm TL", {"count": 40, "length_cm": 3}),
    ],
)
def test_bags_water_and_length_of_a_lot(text: str, more: dict[str, Any]) -> None:
    assert told_more(text) == more


@pytest.mark.parametrize(
    "text",
    [
        "100 neons in 4 bags, 20 a bag",  # 100 or 80
        "20 neons and 30 cardinals, 4 bags of 25",
        "neons 20 30",
        "20 neons, 30",
        "20 or 30 neons",
        "25 neons per bag",  # and how many bags
        "25 neons a box",
    ],
)
def test_numbers_that_do_not_agree_are_asked(text: str) -> None:
    assert hear("kinds", text)["ask_back"]


def test_each_of_two_kinds_has_its_own_length() -> None:
    heard = hear("kinds", "10 guppies 3 cm, 4 koi 20 cm")
    assert [(lot["count"], lot["length_cm"]) for lot in heard["lots"]] == [(10, 3), (4, 20)]
    both = hear("kinds", "10 guppies, 4 platies, both 3 cm")
    assert [lot.get("length_cm") for lot in both["lots"]] == [3, 3]
    apart = hear("kinds", "10 guppies 3 cm 4 platies")
    assert [lot.get("length_cm") for lot in apart["lots"]] == [3, None]
    last = hear("kinds", "10 guppies, 4 platies 3 cm")
    assert [lot.get("length_cm") for lot in last["lots"]] == [None, 3]


# -- laws ------------------------------------------------------------------------------

SOME = {
    "neons": NEON, "cardinals": CARDINAL, "guppies": GUPPY, "platies": PLATY,
    "discus": "Symphysodon spp.", "zebra danios": "Danio rerio",
    "tiger barbs": "Puntigrus tetrazona",
}  # fmt: skip
LOTS = st.dictionaries(st.sampled_from(sorted(SOME)), st.integers(1, 5000), min_size=1, max_size=4)


@given(
    told=LOTS, joined=st.sampled_from([", ", " and ", "; ", " + ", ", and ", " "]), data=st.data()
)
@settings(max_examples=60)
def test_the_order_of_lots_does_not_matter_and_their_numbers_add_up(
    told: dict[str, int], joined: str, data: st.DataObject, base: RuleBase
) -> None:
    order = data.draw(st.permutations(sorted(told)))
    heard = lots(joined.join(f"{told[name]} {name}" for name in order), base)
    kinds = dict(heard)
    assert len(heard) == len(told) and sum(count or 0 for _, count in heard) == sum(told.values())
    for name, count in told.items():
        species = find_species(name.removesuffix("s"), base) or find_species(name, base)
        assert species is not None and kinds[species.scientific] == count


@given(
    told=LOTS, case=st.sampled_from([str.upper, str.title, str.lower]), before=st.booleans(),
    more=st.sampled_from(["", "we got ", "there are ", "its ", "about "]),
)  # fmt: skip
@settings(max_examples=60)
def test_capitals_extra_words_and_the_place_of_the_number_change_nothing(
    told: dict[str, int], case: Any, before: bool, more: str, base: RuleBase
) -> None:
    parts = [f"{n} {name}" if before else f"{name} {n}" for name, n in told.items()]
    text = case(more + ", ".join(parts))
    plainly = ", ".join(f"{n} {name}" for name, n in told.items())
    assert lots(text, base) == lots(plainly, base), text


@given(number=st.integers(1, 9999), name=st.sampled_from(sorted(SOME)))
@settings(max_examples=40)
def test_a_kind_that_is_denied_is_no_lot(number: int, name: str, base: RuleBase) -> None:
    for text in (f"no {name}", f"{number} snakeheads, no {name}", f"no {name} this time"):
        heard = lots(text, base)
        species = find_species(name.removesuffix("s"), base) or find_species(name, base)
        assert species is not None and species.scientific not in [kind for kind, _ in heard]
