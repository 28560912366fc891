"""A rule base small enough to work out by hand, for testing ranking and plan."""

from __future__ import annotations

from pathlib import Path

RULES = """
[[sign]]
id = "gasping"
name = "gasping"
look_for = "mouths at the surface"
source = [{ ref = "judgement", basis = "judgement" }]

[[sign]]
id = "calm"
name = "calm"
look_for = "slow, even gill beats"
source = [{ ref = "judgement", basis = "judgement" }]

[[history]]
id = "invertebrates"
name = "invertebrates in the tank"
field = "receiving.invertebrates"
source = [{ ref = "judgement", basis = "judgement" }]

[[quantity]]
id = "tank_do_mg_l"
name = "oxygen"
unit = "mg/L"
low = 0
high = 60
kind = "reading"
water = "tank"
parameter = "do_mg_l"
cost_seconds = 120
source = [{ ref = "judgement", basis = "judgement" }]

[[cause]]
id = "short_of_air"
name = "short of air"
summary = "x"
prior = { arrival = -10, day_2_4 = -15, day_5_14 = -20 }
direction = "air"
kind = "water"
prove = "oxygen"
source = [{ ref = "judgement", basis = "judgement" }]

[[cause]]
id = "resting"
name = "resting"
summary = "x"
prior = { arrival = -3, day_2_4 = -10, day_5_14 = -20 }
direction = "wait"
kind = "other"
prove = "time"
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "air-gasping"
supports = "short_of_air"
strength = "supporting"
group = "breath"
because = "they gasp"
when = { sign = "gasping" }
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "air-gasping-in-low-oxygen"
supports = "short_of_air"
strength = "decisive"
group = "breath"
because = "they gasp and oxygen is low"
when.all = [{ sign = "gasping" }, { reading = "tank_do_mg_l", below = 3.0 }]
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "air-plenty"
opposes = "short_of_air"
strength = "strong"
because = "oxygen is high"
when = { reading = "tank_do_mg_l", surely_at_least = 6.0 }
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "rest-calm"
supports = "resting"
strength = "strong"
because = "they are calm"
when = { sign = "calm" }
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "rest-not-gasping"
opposes = "resting"
strength = "strong"
because = "they gasp"
when = { sign = "gasping" }
source = [{ ref = "judgement", basis = "judgement" }]

[[action]]
id = "air"
text = "Air the tank."
because = "they need it"
time = "now"
needed_for = ["short_of_air"]
when = { not_enough = true }
gentle = true
source = [{ ref = "judgement", basis = "judgement" }]

[[action]]
id = "copper"
text = "Dose."
because = "it is said to help"
time = "now"
needed_for = ["short_of_air"]
requires = { history = "invertebrates", is = "no" }
requires_because = "Find out first whether anything without a spine lives there."
source = [{ ref = "judgement", basis = "judgement" }]

[[action.forbidden]]
when = { history = "invertebrates", is = "yes" }
because = "It kills them."
source = [{ ref = "judgement", basis = "judgement" }]

[[action]]
id = "wait"
text = "Leave them."
because = "rest cures"
time = "today"
needed_for = ["resting"]
undoes = ["air"]
source = [{ ref = "judgement", basis = "judgement" }]
"""

SETTINGS = """
version = "1"
title = "tiny"
because = "judgement"
thin_evidence = 6
close_call = 4
[decibans]
weak = 3
supporting = 6
strong = 10
decisive = 20
[standing]
very_likely = 10
likely = 3
possible = -7
"""


def write_tiny(folder: Path, extra: str = "") -> Path:
    """Write the tiny rule base into ``folder`` and return it."""
    (folder / "rulebase.toml").write_text(SETTINGS, encoding="utf-8")
    (folder / "rules.toml").write_text(RULES + extra, encoding="utf-8")
    return folder
