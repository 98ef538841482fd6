"""What of `docs/` is made from the code: schemas, evidence, the page on the optics.

`python -m strandline.salon.cli.docs docs` writes them; tests hold schemas and page to the code.
"""
