"""What of `docs/` is made from the code: schemas, evidence, the pages on optics and lightening.

`python -m strandline.salon.cli.docs docs` writes them; tests hold schemas and pages to the code.
"""
