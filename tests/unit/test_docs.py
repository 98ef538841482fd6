"""Documents made from the code say what the code says."""

from __future__ import annotations

import json
import tomllib

import jsonschema
import pytest
from tests.conftest import EXAMPLES, HEADS

from strandline.salon.cli.docs import schemas

DOCS = EXAMPLES.parent / "docs"


@pytest.mark.parametrize(
    "name", ["consultation.schema.json", "plan.schema.json", "fact.schema.json"]
)
def test_published_schema_is_the_codes(name):
    assert (DOCS / "schemas" / name).read_text("utf-8") == schemas()[name]


@pytest.mark.parametrize("head", HEADS)
def test_plans_fit_the_published_schema(made, head):
    schema = json.loads((DOCS / "schemas" / "plan.schema.json").read_text("utf-8"))
    jsonschema.validate(made(head).plan.model_dump(mode="json"), schema)


def test_examples_of_the_guide_are_consultations():
    from strandline.service.consultation.reader import read_consultation

    page = (DOCS / "consultation.md").read_text("utf-8")
    blocks = [part.split("```")[0] for part in page.split("```toml\n")[1:]]
    whole = [block for block in blocks if "[client]" in block]
    assert len(whole) == 2
    for block in whole:
        shared = (EXAMPLES / "practice.toml").read_bytes()
        read_consultation(block.encode(), "guide", beside=lambda _, shared=shared: shared)
    for block in blocks:
        tomllib.loads(block)
