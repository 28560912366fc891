"""Listens to what the engine asks of durable-rules."""

from __future__ import annotations

from collections import Counter

from advisor.rulebase import engine


class Counting:
    """The core, with sessions opened and deleted counted and calls made to fail."""

    def __init__(self, fail=None):
        self.core = engine._load_core()
        self.fail = fail
        self.calls = Counter()
        self.open = set()

    def __getattr__(self, name):
        def call(*arguments):
            self.calls[name] += 1
            if self.fail and (name, self.calls[name]) == self.fail[0]:
                raise self.fail[1]
            result = getattr(self.core, name)(*arguments)
            if name == "assert_fact" and '"begin"' in arguments[1] and result[0] == 0:
                self.open.add((arguments[0], result[1]))
            if name == "delete_state":
                self.open.pop()  # nothing here opens two at a time
            return result

        return call


def counting(monkeypatch, fail=None):
    core = Counting(fail)
    monkeypatch.setattr(engine, "_load_core", lambda: core)
    return core
