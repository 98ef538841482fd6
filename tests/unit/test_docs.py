"""Documents made from the code say what the code says."""

from __future__ import annotations

import json
import tomllib

import jsonschema
import pytest
from tests.conftest import EXAMPLES, HEADS

from strandline.salon.cli.docs.made import schemas

DOCS = EXAMPLES.parent / "docs"


@pytest.mark.parametrize(
    "name",
    [
        "anew.schema.json",
        "consultation.schema.json",
        "plan.schema.json",
        "ways.schema.json",
        "fact.schema.json",
    ],
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


PAGES = {
    "optics.md": ("strandline.salon.cli.docs.optics", "optics_page"),
    "gloss.md": ("strandline.salon.cli.docs.gloss", "gloss_page"),
    "lightening.md": ("strandline.salon.cli.docs.lightening", "lightening_page"),
}


@pytest.mark.parametrize("page", PAGES)
def test_page_is_the_codes(page):
    """Word for word; figures may differ in their last digit from one build of numpy to another."""
    import re
    from importlib import import_module

    module, function = PAGES[page]
    figure = re.compile(r"-?\d+(?:\.\d+)?")
    screen = re.compile(r"#[0-9a-f]{6}")
    published, made = (
        screen.sub("colour", text)
        for text in (
            (DOCS / page).read_text("utf-8"),
            getattr(import_module(module), function)(),
        )
    )
    assert "{" not in published
    assert figure.sub("#", published) == figure.sub("#", made)
    for one, other in zip(figure.findall(published), figure.findall(made), strict=True):
        digits = len(one.partition(".")[2])
        assert abs(float(one) - float(other)) <= 1.01 * 10.0**-digits


@pytest.mark.parametrize("page", PAGES)
def test_pictures_stand_beside_their_page(page):
    words = (DOCS / page).read_text("utf-8")
    named = [part.split(")")[0] for part in words.split("](pictures/")[1:]]
    assert named
    for name in named:
        assert (DOCS / "pictures" / name).read_text("utf-8").startswith("<?xml")


def test_the_line_of_the_guide_is_a_numbering():
    from strandline.science.hair.naming.lines import numberings
    from strandline.science.hair.naming.name import Named, read_name

    page = (DOCS / "numbering.md").read_text("utf-8")
    hers = numberings(page.split("```toml\n")[1].split("```")[0])["tideline"]
    assert read_name("7.82", hers) == Named(7, "ash", "violet")
    assert hers.depth_step.value == -0.5
