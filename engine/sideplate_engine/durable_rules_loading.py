"""Imports the C module of durable-rules; the matcher takes it from here, and nothing else does.

The module uses a C function that Python 3.13 removed, but only in store callbacks, which Sideplate never
registers. Compiled with the function's new name it imports like any other. Compiled without, it can still be
loaded where the system can leave a symbol unresolved until it is first called.
"""

from __future__ import annotations

import importlib
import os
import sys

_REMOVED_FUNCTION = "PyEval_CallObject"
_MODULE = "durable_rules_engine"

HOW_TO_REINSTALL = (
    f"durable-rules was compiled for a Python that still had {_REMOVED_FUNCTION}. Compile it again:\n"
    f"  CPPFLAGS=-D{_REMOVED_FUNCTION}=PyObject_CallObject pip install --force-reinstall --no-cache-dir "
    "--no-binary durable-rules durable-rules==2.0.28"
)
"""What to do when the module cannot be loaded either way."""


def import_with_lazy_binding(refusal: ImportError) -> None:
    """Import the C module leaving the missing function unresolved, after a plain import was refused.

    Raises the refusal itself when it is about anything else, and an ImportError that says how to reinstall
    where lazy binding is not to be had or does not help.
    """
    if _REMOVED_FUNCTION not in str(refusal):
        raise refusal
    if not hasattr(sys, "setdlopenflags") or not hasattr(os, "RTLD_LAZY"):
        raise ImportError(HOW_TO_REINSTALL, name=_MODULE) from refusal
    flags = sys.getdlopenflags()
    sys.setdlopenflags(os.RTLD_LAZY)
    try:
        importlib.import_module(_MODULE)
    except ImportError as second_refusal:
        raise ImportError(HOW_TO_REINSTALL, name=_MODULE) from second_refusal
    finally:
        sys.setdlopenflags(flags)


try:
    import durable_rules_engine
except ImportError as refusal:
    import_with_lazy_binding(refusal)
    import durable_rules_engine

__all__ = ["HOW_TO_REINSTALL", "durable_rules_engine", "import_with_lazy_binding"]
