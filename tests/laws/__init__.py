"""Laws of handling newly arrived fish, laid against the advice as it is shown.

The laws are written from published guidance and common practice, without sight of the rules,
and know nothing of the package but ``assess(case)`` and its published JSON:

- ``kinds``     the test's own table of kinds, each row with its source
- ``situation`` where a lot is, what its water is, what was seen: read from the case's own data
- ``clauses``, ``verbs``, ``plan``  the shown words: which of them order, forbid, set a condition
- ``danger``    what is surely wrong with a water, by published limits
- ``laws_*``    the laws, each with its source; ``samples_*`` what breaks and what keeps them
- ``mixes``, ``scenes``, ``typing_in``  deliveries as a year brings them, typed through kits
- ``metamorphic``  laws between two deliveries that differ in one thing
- ``check``     the laws on cases: ``python -m tests.laws --draws 200 --seed 1``
- ``known``     breaches known today; ``--write-known`` after the advice was mended

A new law: a function in the room of its subject with ``@law(source, kind)`` and a docstring that
is its sentence, and a sample. A new act that the advice may order: a line in ``verbs`` and
sentences in ``test_reader``.
"""
