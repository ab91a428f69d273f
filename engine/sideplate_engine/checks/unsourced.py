"""Checked rules that rest on recollection alone."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "unsourced"
TITLE = "A checked rule rests on memory alone"
EXPLANATION = (
    "Every source the rule cites is a recollection. That is enough for a draft, not for a rule that people act on: "
    "find where it is printed and cite that, with the page or clause. What everyone in the trade does and nobody "
    "prints is not memory but practice; cite it as common practice and give the reason as `kind: practice`."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each checked rule all of whose sources are recollections."""
    sources = context.knowledge.sources
    for rule in context.rules:
        kinds = {sources[citation.work].kind for citation in rule.sources}
        if rule.status == "checked" and kinds == {"memory"}:
            message = f"{rule.id} is checked but cites nothing beyond memory"
            yield Finding(CODE, message, rule.place("sources"), Severity.WARNING)
