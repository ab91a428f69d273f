"""Facts as clipspy hands them out, and the C functions behind them."""

class Fact:
    _fact: object
    def retract(self) -> None: ...

class _Library:
    def ReleaseFact(self, fact: object) -> None: ...  # noqa: N802 - the C function's name

lib: _Library
