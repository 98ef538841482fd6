"""The app in a browser: pages over the record, and the chair. Thin: parse, call, show."""
