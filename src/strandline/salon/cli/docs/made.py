"""The schemas of the file formats and the table of evidence, and where each page is written."""

from __future__ import annotations

import json
from pathlib import Path

from strandline.base.facts.schema import json_schema
from strandline.salon.cli.docs.gloss import gloss_page
from strandline.salon.cli.docs.gloss_pictures import draw_gloss
from strandline.salon.cli.docs.lightening import lightening_page
from strandline.salon.cli.docs.lightening_pictures import draw_lightening
from strandline.salon.cli.docs.optics import optics_page
from strandline.salon.cli.docs.optics_pictures import draw_optics
from strandline.salon.cli.evidence import lines
from strandline.salon.evidence.table import results
from strandline.salon.web import catalogue
from strandline.service.anew.model import Anew
from strandline.service.consultation.model import Consultation
from strandline.service.plan.model import ServicePlan
from strandline.service.plan.ways_model import Ways


def schemas() -> dict[str, str]:
    """Give each schema file's name and text."""
    documents = {
        "consultation.schema.json": Consultation.model_json_schema(),
        "plan.schema.json": ServicePlan.model_json_schema(mode="serialization"),
        "anew.schema.json": Anew.model_json_schema(mode="serialization"),
        "ways.schema.json": Ways.model_json_schema(mode="serialization"),
        "fact.schema.json": json_schema(),
    }
    return {
        name: json.dumps(document, indent=2, ensure_ascii=False) + "\n"
        for name, document in documents.items()
    }


def evidence_page() -> str:
    """Give the table of evidence as a page."""
    table = "\n".join(lines(results()))
    return (
        "# Evidence\n\nMade by `./dev docs` from the checks that the tests run.\n\n"
        f"```text\n{table}\n```\n"
    )


def write_all(folder: Path) -> None:
    """Write schemas, evidence, the pages on optics, lightening, gloss; the app's catalogue."""
    (folder / "schemas").mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (folder / "schemas" / name).write_text(text, "utf-8")
    (folder / "evidence.md").write_text(evidence_page(), "utf-8")
    (folder / "optics.md").write_text(optics_page(), "utf-8")
    draw_optics(folder / "pictures")
    (folder / "lightening.md").write_text(lightening_page(), "utf-8")
    draw_lightening(folder / "pictures")
    (folder / "gloss.md").write_text(gloss_page(), "utf-8")
    draw_gloss(folder / "pictures")
    catalogue.FILE.parent.mkdir(exist_ok=True)
    catalogue.FILE.write_text(catalogue.text_of(catalogue.gather()), "utf-8")
