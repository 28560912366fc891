"""The models of kinds: groups, species, their traits, names and the limits at which harm begins."""

from typing import Annotated, Literal

from pydantic import Field, FiniteFloat

from advisor.rulebase.works import Id, Sourced, Text

#: Names of the limits at which harm begins for a kind of fish.
InjuryName = Literal[
    "cold_injury_c",
    "heat_injury_c",
    "ph_injury_low",
    "ph_injury_high",
    "salinity_injury_low_g_kg",
    "salinity_injury_high_g_kg",
    "salinity_borne_g_kg",
    "salinity_rise_borne_g_kg",
    "salinity_fall_borne_g_kg",
    "temperature_fall_borne_c",
    "temperature_rise_borne_c",
]


class Trait(Sourced):
    """A property of a species group that rules may ask for (true or false)."""

    name: Text
    meaning: Text


class Group(Sourced):
    """Species alike in what they need and bear.

    Numbers are the range in which they are kept in comfort, None = not known. Where
    harm begins is said by :class:`Injury` entries. ``kin`` are names, lower case, of kinds
    that the species table lacks and that are kept like this group.
    """

    name: Text
    because: Text
    traits: tuple[Id, ...] = ()
    temperature_low_c: FiniteFloat | None = None
    temperature_high_c: FiniteFloat | None = None
    ph_low: FiniteFloat | None = None
    ph_high: FiniteFloat | None = None
    oxygen_use_factor: Annotated[FiniteFloat, Field(gt=0)] = 1.0
    kin: tuple[str, ...] = ()


class Species(Sourced):
    """A traded species. ``also`` holds synonyms and trade names, lower case.

    ``traits`` it has beyond its group's, ``lacks`` are those of its group that it has not.
    """

    scientific: Text
    name: Text
    also: tuple[str, ...] = ()
    group: Id
    traits: tuple[Id, ...] = ()
    lacks: tuple[Id, ...] = ()
    temperature_low_c: FiniteFloat | None = None
    temperature_high_c: FiniteFloat | None = None
    ph_low: FiniteFloat | None = None
    ph_high: FiniteFloat | None = None
    typical_mass_g: FiniteFloat | None = None
    note: str | None = None


class SharedName(Sourced):
    """Names, lower case, that people use for several ``kinds`` (species ids): ask which."""

    names: Annotated[tuple[str, ...], Field(min_length=1)]
    kinds: Annotated[tuple[Id, ...], Field(min_length=1)]


class Injury(Sourced):
    """The water or step at which harm begins for some kinds of fish, apart from how they are kept.

    ``limit`` names what is bounded; its unit stands in the name (pH has none).
    ``cold_injury_c``, ``heat_injury_c``, ``ph_injury_*`` and ``salinity_injury_*`` : harm
        begins within hours at this figure or beyond it.
    ``salinity_borne_g_kg`` : the most salt borne for days.
    ``temperature_*_borne_c``, ``salinity_rise_borne_g_kg``, ``salinity_fall_borne_g_kg`` : the
        largest step at once without harm expected, positive both ways, while both ends lie
        inside the injury limits. Steps of salt are given for kinds of the sea and of mixed
        water; for kinds of fresh water the salt borne is the step.

    groups, species : the kinds it holds for, a group when the works tried several of its kinds
        or speak of it as a whole; a species' own limit goes before its group's.
    stretched_to : kinds (groups or species) that the cited works do not speak of and that
        take the figure by judgement, so the rest of a group of which one kind was tried; a
        judgement must then be among the sources.
    says, scope, independent_works : as for ``Limit``.
    """

    limit: InjuryName
    value: FiniteFloat
    groups: tuple[Id, ...] = ()
    species: tuple[Id, ...] = ()
    stretched_to: tuple[Id, ...] = ()
    says: Text
    scope: Text
    independent_works: Annotated[int, Field(ge=0, le=2)]

    @property
    def kinds(self) -> tuple[str, ...]:
        """Every group and species it gives a figure to."""
        return (*self.groups, *self.species, *self.stretched_to)
