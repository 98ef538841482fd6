"""The tables as queries name them; the migrations make them, a test holds the two alike."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

HEAD = "0003"
"""The newest schema."""
KNOWN = ("0001", "0002", "0003")
"""Every schema there has been, oldest first."""

META = MetaData()
BIG = BigInteger().with_variant(Integer(), "sqlite")

STREAM = Table(
    "stream",
    META,
    Column("name", String(64), primary_key=True),
    Column("token", String(32), nullable=False, unique=True),
    Column("sort", String(20), nullable=False, index=True),
    Column("client", String(64), index=True),
    Column("version", BigInteger, nullable=False),
)
"""A stream: its name, a token that says nothing, whose it is, and how many facts it has taken."""

FACT = Table(
    "fact",
    META,
    Column("place", BIG, primary_key=True, autoincrement=True),
    Column("stream", String(64), ForeignKey("stream.name"), nullable=False),
    Column("id", String(64), nullable=False),
    Column("kind", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("digest", String(64), nullable=False),
    Column("device", String(64), nullable=False),
    Column("device_seq", BigInteger, nullable=False),
    Column("received", String(24), nullable=False),
    UniqueConstraint("id", "digest", name="one_of_a_fact"),
    Index("facts_of_a_stream", "stream", "place"),
    Index("facts_of_a_device", "device", "device_seq"),
    Index("facts_of_a_kind", "kind"),
)
"""A fact: `body` is its canonical text, `digest` the SHA-256 of that."""

UNREAD = Table(
    "unread",
    META,
    Column("digest", String(64), primary_key=True),
    Column("stream", String(64), ForeignKey("stream.name"), primary_key=True),
    Column("line", Text, nullable=False),
    Column("received", String(24), nullable=False),
)
DEVICE = Table(
    "device",
    META,
    Column("name", String(64), primary_key=True),
    Column("up_to", BigInteger, nullable=False),
)
CLIENT = Table(
    "client_reading",
    META,
    Column("client", String(64), primary_key=True),
    Column("name", Text, nullable=False),
    Column("search", Text, nullable=False, index=True),
    Column("visits", Integer, nullable=False),
    Column("last_visit", String(10)),
    Column("next_visit", String(10), index=True),
    Column("next_gloss", String(10)),
    Column("alert_until", String(10)),
)
"""`next_visit` and `next_gloss` as agreed; `alert_until` the last day that an alert test counts."""
VISIT = Table(
    "visit_reading",
    META,
    Column("stream", String(64), primary_key=True),
    Column("client", String(64), index=True),
    Column("date", String(10), index=True),
    Column("outcome", String(20)),
    Column("facts", Integer, nullable=False),
)
PLAN = Table(
    "plan_reading",
    META,
    Column("stream", String(64), primary_key=True),
    Column("client", String(64), index=True),
    Column("date", String(10), index=True),
    Column("foils_from", String(10)),
    Column("foils_to", String(10)),
    Column("gloss_from", String(10)),
    Column("gloss_to", String(10)),
)
"""A plan by the day of its visit, with the days of return that it gives."""
TOMB = Table(
    "tomb",
    META,
    Column("digest", String(64), primary_key=True),
    Column("salt", String(32), nullable=False),
    Column("erased", String(24), nullable=False),
    Column("by_whom", Text, nullable=False),
    Column("lifted", String(24)),
)
"""An erased stream, by the salted digest of its name; `lifted` where its client came back."""
BACKUP = Table(
    "backup",
    META,
    Column("digest", String(64), primary_key=True),
    Column("path", Text, nullable=False),
    Column("made", String(24), nullable=False),
)
READINGS = (CLIENT, VISIT, PLAN)
"""Made from facts, and made again at will."""
