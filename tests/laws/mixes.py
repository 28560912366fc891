"""Deliveries as an ordinary year brings them, invented, each with the truth it was drawn from.

Most are calm. Shares, kinds and amounts are our own guess at a small trade room's year (common
practice, no source); nothing is measured. A delivery is written as a case file would be and
read by the same loader, so that a kit at zero is a zero and "78 F" is text.

Truths: ``needs nothing``, ``watch``, ``trouble``, ``failing now``.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import tomli_w

from tests.laws.typing_in import HOUSES, water

#: name, grams, usual count, °C, pH, g/kg salt (None fresh)
Sold = tuple[str, float, int, float, float, float | None]
KINDS: tuple[Sold, ...] = (
    ("neon tetra", 0.3, 100, 25, 6.8, None), ("cardinal tetra", 0.3, 100, 26, 6.4, None),
    ("black skirt tetra", 1.0, 50, 25, 7.0, None), ("harlequin rasbora", 0.5, 60, 25, 6.8, None),
    ("zebra danio", 0.5, 60, 23, 7.2, None), ("tiger barb", 2.0, 40, 25, 7.0, None),
    ("rosy barb", 2.5, 30, 21, 7.2, None), ("guppy", 0.4, 80, 25, 7.6, None),
    ("platy", 1.5, 50, 24, 7.6, None), ("swordtail", 2.5, 40, 24, 7.6, None),
    ("sailfin molly", 4.0, 30, 26, 8.0, None), ("boeseman's rainbowfish", 4.0, 20, 25, 7.6, None),
    ("siamese fighting fish", 1.5, 20, 27, 7.2, None), ("honey gourami", 1.5, 30, 26, 7.0, None),
    ("pearl gourami", 5.0, 16, 26, 7.0, None), ("paradise fish", 3.0, 12, 20, 7.2, None),
    ("bronze corydoras", 2.0, 30, 24, 7.0, None), ("bristlenose catfish", 3.0, 20, 25, 7.0, None),
    ("clown loach", 4.0, 20, 27, 7.0, None), ("kuhli loach", 1.0, 30, 25, 6.6, None),
    ("otocinclus", 0.4, 50, 24, 7.0, None), ("discus", 20.0, 6, 29, 6.4, None),
    ("angelfish", 4.0, 20, 27, 7.0, None), ("ram cichlid", 1.5, 20, 28, 6.2, None),
    ("kribensis", 3.0, 16, 25, 6.8, None), ("goldfish", 12.0, 25, 18, 7.6, None),
    ("fancy goldfish", 20.0, 12, 20, 7.6, None), ("koi", 60.0, 10, 18, 7.8, None),
    ("golden orfe", 30.0, 15, 16, 7.8, None), ("cherry shrimp", 0.2, 80, 23, 7.2, None),
    ("mystery snail", 8.0, 20, 24, 7.6, None), ("clownfish", 2.0, 20, 25.5, 8.2, 34),
    ("royal gramma", 3.0, 8, 25.5, 8.2, 34), ("yellow tang", 20.0, 4, 25.5, 8.2, 34),
    ("emperor angelfish", 40.0, 2, 25.5, 8.2, 34), ("cleaner shrimp", 3.0, 10, 25, 8.2, 34),
)  # fmt: skip
CALM = ("swimming_normally", "answers_a_hand")
LOOKED_FOR = ("gasping_at_surface", "lying_on_side", "loss_of_equilibrium", "rapid_gill_movement",
              "white_spots")  # fmt: skip


@dataclass
class Scene:
    """A delivery while it is being written."""

    rng: random.Random
    kind: str
    mass_g: float
    usual: int
    warm_c: float
    ph: float
    salt: float | None
    house: str
    data: dict[str, Any] = field(default_factory=dict)
    bag: dict[str, float] = field(default_factory=dict)
    tank: dict[str, float] = field(default_factory=dict)
    seen: list[str] = field(default_factory=list)
    hour: float = 0.2
    counts: tuple[int, int, int] | None = None  # normal, down, dead
    often: float = 0.7

    @property
    def lot(self) -> dict[str, Any]:
        return self.data["lot"][0]

    def say(self, **history: Any) -> None:
        self.data["history"].update(history)

    def close(self, hours: float = 0.2) -> None:
        """Bags still shut, looked at through the plastic."""
        self.lot["sealed"] = "yes"
        self.hour = hours

    def open(self, minutes: float) -> None:
        self.lot.update(sealed="no", opened_at_hours=0.2)
        self.hour = round(0.2 + minutes / 60, 2)

    def release(self, hours_ago: float) -> None:
        self.lot.update(sealed="no", opened_at_hours=0.3, released_at_hours=0.4)
        self.lot["release_method"] = "netted"
        self.hour = round(0.4 + hours_ago, 2)

    def share_down(self, share: float, dead: float = 0.0) -> None:
        n = self.lot["count"]
        down, gone = max(1, round(n * share)), round(n * dead)
        self.counts = (max(0, n - down - gone), min(down, n - gone), gone)


def natural_data(rng: random.Random, only: str | None = None) -> tuple[dict[str, Any], str]:
    """The plain data of one delivery, as its file would hold it, and its truth.

    only : draw deliveries of this truth alone
    """
    from tests.laws.scenes import SCENES, takes

    scenes = [scene for scene in SCENES if only in (None, scene[1])]
    make, truth, _ = rng.choices(scenes, [weight for *_, weight in scenes])[0]
    scene = _ordinary(rng, [kind for kind in KINDS if takes(make, kind)])
    make(scene)
    return _written(scene, make), truth


def natural(rng: random.Random) -> tuple[Any, str]:
    """One delivery read by the loader of case files, and its truth."""
    data, truth = natural_data(rng)
    return load(data), truth


def load(data: dict[str, Any]) -> Any:
    """The case that a file with this content gives."""
    from advisor.case.toml_text import loads_case

    return loads_case(tomli_w.dumps(data), "drawn delivery")


def _ordinary(rng: random.Random, kinds: list[Sold]) -> Scene:
    """A sound delivery and a sound tank for one of ``kinds``; scenes spoil it."""
    name, mass, usual, warm, ph, salt = rng.choice(kinds)
    count = max(1, round(usual * rng.uniform(0.4, 1.6)))
    hours = round(rng.triangular(4, 44, 24))
    bag_kg = rng.uniform(0.02, 0.05) if salt is None else rng.uniform(0.005, 0.015)
    litres = rng.choice((1.5, 2, 2.5, 3, 4, 5))
    bags = max(1, min(count, round(count * mass / 1000 / (bag_kg * litres) + 0.4)))
    scene = Scene(rng, name, mass, usual, warm, ph, salt, rng.choice(tuple(HOUSES)))
    scene.bag = {"temperature_c": warm - rng.uniform(0, 2.5)}
    scene.tank = {
        "temperature_c": warm + rng.uniform(-0.8, 0.8), "ph": ph + rng.uniform(-0.2, 0.3),
        "tan_mg_l": 0.0, "nitrite_mg_l": 0.0, "do_mg_l": 7.4 if salt is None else 6.6,
        "chlorine_mg_l": 0.0,
    }  # fmt: skip
    if salt is not None:
        scene.bag["salinity_g_kg"] = salt - rng.uniform(0, 2)
        scene.tank["salinity_g_kg"] = salt
    else:
        scene.tank |= {"hardness_mg_l_caco3": 90 if ph < 7 else 160, "conductivity_us_cm": 380.0}
        scene.bag["conductivity_us_cm"] = 380 * rng.uniform(0.7, 1.3)
    lot = {"id": "a", "species": name, "count": count, "mass_g": mass, "bags": bags,
           "bag_water_l": litres, "bag_gas_l": litres * 2, "gas": "oxygen"}  # fmt: skip
    for part in ("mass_g", "bag_water_l", "bag_gas_l", "gas", "bags"):
        if rng.random() < 0.3:
            lot.pop(part)
    transit = {"hours_sealed": hours, "box": "insulated", "sedative": "no"}
    receiving = {
        "volume_l": rng.choice((60, 120, 200, 240, 400, 600)), "filter": "mature",
        "age_days": rng.choice((120, 200, 300, 500)), "aerated": "yes", "residents": "no",
        "supply": "chlorine" if rng.random() < 0.7 else "chloramine",
    }  # fmt: skip
    for part in ("sedative", "box"):
        if rng.random() < 0.3:
            transit.pop(part)
    for part in ("residents", "supply", "age_days", "aerated"):
        if rng.random() < 0.3:
            receiving.pop(part)
    scene.data = {
        "format": "arrival-case-1",
        "delivery": {"title": "drawn delivery", "invented": True},
        "transit": transit, "receiving": receiving, "history": {}, "lot": [lot],
    }  # fmt: skip
    if rng.random() < 0.6:
        scene.say(dechlorinator_used="yes")
    return scene


def _written(scene: Scene, make: Callable[[Scene], None]) -> dict[str, Any]:
    """The scene as file content: one look, readings through the house's kits."""
    rng, data = scene.rng, scene.data
    look: dict[str, Any] = {"at_hours": scene.hour, "lot": "a", "seen": list(scene.seen)}
    look["not_seen"] = [s for s in LOOKED_FOR if s not in scene.seen and rng.random() < 0.7]
    if scene.counts:
        look["counts"] = dict(zip(("normal", "down", "dead"), scene.counts, strict=True))
    bag = water(rng, scene.house, scene.bag, scene.often) if scene.bag else {}
    if scene.lot["sealed"] == "yes":  # only warmth is read through the plastic, salt by the packer
        bag = {k: v for k, v in bag.items() if k in ("temperature_c", "salinity_g_kg")}
    elif "released_at_hours" in scene.lot and scene.hour > 2:
        bag = {}
    if bag:
        look["bag"] = bag
    tank = water(rng, scene.house, scene.tank, scene.often)
    if tank:
        look["tank"] = tank
    data["observation"] = [look]
    data["delivery"]["title"] = make.__name__.replace("_", " ")
    if not data["history"]:
        data.pop("history")
    return data
