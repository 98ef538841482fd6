"""Each step of the schema; its archive stands in tests/records/archive."""
