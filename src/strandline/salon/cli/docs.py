"""What of `docs/` is made from the code: the schemas and the table of evidence.

`python -m strandline.salon.cli.docs docs` writes them; a test holds the schemas to the code.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from strandline.base.facts.schema import json_schema
from strandline.salon.cli.evidence import lines
from strandline.salon.evidence.table import results
from strandline.service.consultation.model import Consultation
from strandline.service.plan.model import ServicePlan


def schemas() -> dict[str, str]:
    """Give each schema file's name and text."""
    documents = {
        "consultation.schema.json": Consultation.model_json_schema(),
        "plan.schema.json": ServicePlan.model_json_schema(mode="serialization"),
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


def main(folder: Path) -> None:
    """Write them."""
    (folder / "schemas").mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (folder / "schemas" / name).write_text(text, "utf-8")
    (folder / "evidence.md").write_text(evidence_page(), "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
