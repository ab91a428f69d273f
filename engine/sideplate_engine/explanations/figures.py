"""Findings about tables and formulas."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation

EXPLAINED = {
    "table-column": Explanation(
        "A column is not as it should be",
        "A cell stands under a name that is no column, `key` names no column, a column's keys do not fit its kind, or "
        "`from_memory` names a cell that the row does not have. The columns are declared at the top of the table.",
    ),
    "table-key": Explanation(
        "A row cannot be found, or two rows are",
        "Rows are found by the key column, so each row fills it, and no two with the same value.",
    ),
    "formula": Explanation(
        "A formula has no way to compute",
        "A formula has either an `expression`, in its symbols, or a `function` of the geometry module; not both, not "
        "neither, and the function must exist.",
    ),
    "formula-symbol": Explanation(
        "A symbol is not as it should be",
        "Each symbol of the expression is declared under `symbols:` and each declared one is used; it stands for a "
        "fact that is a number, or for a value of a `unit`, and its name is letters and digits.",
    ),
    "formula-expression": Explanation(
        "The expression cannot be read",
        "An expression is arithmetic over the symbols, with `**` for powers, `pi` and a short list of functions. "
        "Nothing else is evaluated, and what could run on for ever or fill the memory is refused.",
    ),
    "formula-dimension": Explanation(
        "The dimensions do not come out",
        "The expression adds or compares unlike things, or its result is not of the dimension that `gives` says. "
        "Before any number is put in, this shows that a symbol, a power or a factor is wrong.",
    ),
    "formula-worked": Explanation(
        "A worked case does not give every symbol",
        "`with:` gives a value for each symbol of the formula and for nothing else.",
    ),
}
