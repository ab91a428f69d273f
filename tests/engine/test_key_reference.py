"""The page of keys in docs/ says what the models say, and leaves none out."""

from __future__ import annotations

import re
from pathlib import Path

from sideplate_engine import file_models
from sideplate_engine.file_models import FileModel
from sideplate_engine.schemas.key_reference import FILES, key_reference

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "file-keys.md"


def test_the_page_is_what_the_models_say(update: bool) -> None:
    if update:
        PAGE.parent.mkdir(exist_ok=True)
        PAGE.write_text(key_reference())
    assert PAGE.read_text() == key_reference(), "run pytest --update on this test"


def test_every_model_of_a_file_is_on_the_page() -> None:
    models = {
        each
        for each in vars(file_models).values()
        if isinstance(each, type) and issubclass(each, FileModel) and each is not FileModel
    }
    assert {model for _, _, on_page in FILES for model in on_page} == models


def test_every_key_has_its_row() -> None:
    rows = re.findall(r"^\| `(\w+)` \| (.+?) \| (needed|else `.+`|) \| .+ \|$", key_reference(), re.MULTILINE)
    keys = [name for _, _, models in FILES for model in models for name in model.model_fields]
    assert len(rows) == len(keys)
    assert ("id", "text", "needed") in rows
    assert ("after", "a list, each text", "") in rows
    assert ("many", "yes \\| no", "else `no`") in rows
