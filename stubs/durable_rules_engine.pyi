"""The functions of durable-rules' C module (2.0.28) that Sideplate calls; the others are left out."""

class error(Exception):  # noqa: N801 - the library's own name
    """A call was refused; the message ends in a code of the library's `rules.h`."""

def create_ruleset(name: str, rules: str) -> int:
    """Compile the rules (JSON) and return their handle."""

def delete_ruleset(handle: int) -> None:
    """Free the compiled rules; the states made under them stay in memory."""

def assert_fact(handle: int, fact: str) -> tuple[int, int]:
    """Assert one fact (JSON); return 0 (matched), 1 (matches nothing) or 2 (seen before), and the state."""

def retract_fact(handle: int, fact: str) -> tuple[int, int]:
    """Take back the fact with this `id`."""

def start_action_for_state(handle: int, state: int) -> tuple[str, str] | None:
    """Lock the state and return (the state, the first firing), both JSON; None when nothing waits."""

def complete_and_start_action(handle: int, state: int) -> str | None:
    """Complete the firing begun last and return the next; None, and the state unlocked, when none is left."""
