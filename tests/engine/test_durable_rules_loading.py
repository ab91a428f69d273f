from __future__ import annotations

import importlib
import os
import sys

import pytest

from sideplate_engine.durable_rules_loading import HOW_TO_REINSTALL, import_with_lazy_binding

UNRESOLVED = ImportError("durable_rules_engine.so: undefined symbol: PyEval_CallObject")

lazy_binding = pytest.mark.skipif(
    not hasattr(sys, "setdlopenflags") or not hasattr(os, "RTLD_LAZY"),
    reason="no lazy binding on this system",
)


def test_a_missing_module_is_not_taken_for_the_removed_function() -> None:
    missing = ModuleNotFoundError("No module named 'durable_rules_engine'")
    with pytest.raises(ModuleNotFoundError) as raised:
        import_with_lazy_binding(missing)
    assert raised.value is missing


@lazy_binding
def test_the_second_import_leaves_symbols_unresolved_and_the_flags_are_put_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = sys.getdlopenflags()
    seen: list[tuple[str, int]] = []
    monkeypatch.setattr(importlib, "import_module", lambda name: seen.append((name, sys.getdlopenflags())))
    import_with_lazy_binding(UNRESOLVED)
    assert seen == [("durable_rules_engine", os.RTLD_LAZY)]
    assert sys.getdlopenflags() == before


@lazy_binding
def test_when_lazy_binding_does_not_help_the_error_says_how_to_reinstall(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(name: str) -> None:
        raise UNRESOLVED

    before = sys.getdlopenflags()
    monkeypatch.setattr(importlib, "import_module", refuse)
    with pytest.raises(ImportError, match="CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject pip install"):
        import_with_lazy_binding(UNRESOLVED)
    assert sys.getdlopenflags() == before


def test_where_there_is_no_lazy_binding_the_error_says_how_to_reinstall(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delattr(sys, "setdlopenflags", raising=False)
    with pytest.raises(ImportError) as raised:
        import_with_lazy_binding(UNRESOLVED)
    assert str(raised.value) == HOW_TO_REINSTALL
    assert raised.value.__cause__ is UNRESOLVED
