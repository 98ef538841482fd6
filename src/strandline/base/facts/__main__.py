"""Print the JSON Schema of a fact: `python -m strandline.base.facts`."""

from __future__ import annotations

import json
import sys

from strandline.base.facts.schema import json_schema

sys.stdout.write(json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n")
