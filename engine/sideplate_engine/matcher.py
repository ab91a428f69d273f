"""The matcher: which conjunctions hold of a job's facts, found by durable-rules.

It drives the library's C module in the one shape in which it is right and fast. The fact of a chunk is
asserted, its firings are drained, the fact is retracted; one state serves for ever. `wide_rules` says what
goes in. Of the traps in between, these are met here:

- A state is never deleted: the library frees memory it does not own.
- Draining comes before retracting, which would cancel firings.
- A firing begun and not completed locks the state for a minute. So when anything is raised in between, the
  ruleset is thrown away, and the next call compiles another.
- A ruleset thrown away leaves its state in memory, about 20 kB a rule. Make few matchers and keep them.
- The library reads numbers by the C locale. Under one with a decimal comma it drops every fraction.

A matcher may be shared by threads; they take turns. After a fork, each process needs a matcher of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from threading import Lock

from sideplate_engine.conditions import Conjunction, Scalar
from sideplate_engine.durable_rules_loading import durable_rules_engine as engine
from sideplate_engine.value_kinds import Kind, comparable_as, kind_of
from sideplate_engine.wide_rules import FACT_ID, lay_out, value_text

_RETRACTION = f'{{"id":"{FACT_ID}"}}'
_MATCHED, _MATCHES_NOTHING = 0, 1


class MatcherError(RuntimeError):
    """The engine did something that its manual does not say; the matcher has thrown its state away."""


class Matcher:
    """Finds the conjunctions that hold, stratum by stratum."""

    def __init__(self, conjunctions: Iterable[Conjunction]) -> None:
        """Compile the conjunctions.

        Raises ValueError for conjunctions that share a key, are ill formed, disagree about the kind of a
        property, or go beyond what the engine takes.
        """
        self._layout = lay_out(conjunctions)
        self._lock = Lock()
        self._ruleset: int | None = None
        with self._lock:
            self._compiled()

    def matches(self, stratum: int, properties: Mapping[str, Scalar]) -> frozenset[str]:
        """Return the keys of the stratum's conjunctions that hold of the properties; the rest is ignored.

        Raises ValueError for a value of another kind than the conditions ask for, a number that is not finite
        and a word too long to compare; MatcherError when the engine fails.
        """
        _refuse_decimal_comma()
        kinds = self._layout.kinds.get(stratum, {})
        texts = {
            name: _text(name, properties[name], kind) for name, kind in kinds.items() if name in properties
        }
        facts = [chunk.fact(texts) for chunk in self._layout.chunks.get(stratum, ())]
        with self._lock:
            try:
                firings = self._firings(facts)
            except BaseException as problem:
                # An interrupt counts too: it can come between any two calls of the engine.
                self._discard()
                if isinstance(problem, engine.error):
                    raise MatcherError(f"durable-rules refused a job's facts: {problem}") from problem
                raise
        return frozenset(self._layout.keys[int(firing[2 : firing.index('"', 2)])] for firing in firings)

    def close(self) -> None:
        """Free the compiled rules. A closed matcher compiles itself again when next asked."""
        with self._lock:
            self._discard()

    def _firings(self, facts: Sequence[str]) -> list[str]:
        """Return each firing as the engine writes it: a JSON object whose one key is the rule's number."""
        ruleset = self._compiled()
        firings: list[str] = []
        for fact in facts:
            outcome, state = engine.assert_fact(ruleset, fact)
            if outcome == _MATCHES_NOTHING:
                continue
            started = engine.start_action_for_state(ruleset, state)
            if outcome != _MATCHED or started is None:
                raise MatcherError(f"durable-rules took a fact with outcome {outcome} and fired {started}")
            firing: str | None = started[1]
            while firing is not None:
                firings.append(firing)
                firing = engine.complete_and_start_action(ruleset, state)
            engine.retract_fact(ruleset, _RETRACTION)
        return firings

    def _compiled(self) -> int:
        if self._ruleset is None:
            _refuse_decimal_comma()
            try:
                self._ruleset = engine.create_ruleset("sideplate", self._layout.rules)
            except engine.error as problem:
                raise MatcherError(f"durable-rules refused the rules: {problem}") from problem
        return self._ruleset

    def _discard(self) -> None:
        if self._ruleset is not None:
            ruleset, self._ruleset = self._ruleset, None
            engine.delete_ruleset(ruleset)


def _text(name: str, value: Scalar, kind: Kind | None) -> str:
    """Return the value's JSON text; a property only asked whether it is known goes in as a mere `true`."""
    if kind is None:
        kind_of(value)  # refuses what is no scalar
        return "true"
    return value_text(comparable_as(name, value, kind))


def _refuse_decimal_comma() -> None:
    if format(0.5, "n") != "0.5":
        raise MatcherError(
            "set LC_NUMERIC to a locale with a decimal point: durable-rules misreads numbers else"
        )
