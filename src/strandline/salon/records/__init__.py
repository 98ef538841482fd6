"""The record: clients, visits and shelf as streams of facts in a database, nothing ever lost."""
