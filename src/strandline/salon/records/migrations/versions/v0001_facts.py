"""Streams, their facts, lines that are none, what each device is acknowledged up to, readings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the first schema."""
    op.create_table(
        "stream",
        sa.Column("name", sa.String(64), primary_key=True),
        sa.Column("token", sa.String(32), nullable=False, unique=True),
        sa.Column("sort", sa.String(20), nullable=False, index=True),
        sa.Column("client", sa.String(64), index=True),
        sa.Column("version", sa.BigInteger(), nullable=False),
    )
    op.create_table(
        "fact",
        sa.Column("place", BIG, primary_key=True, autoincrement=True),
        sa.Column("stream", sa.String(64), sa.ForeignKey("stream.name"), nullable=False),
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("device", sa.String(64), nullable=False),
        sa.Column("device_seq", sa.BigInteger(), nullable=False),
        sa.Column("received", sa.String(24), nullable=False),
        sa.UniqueConstraint("id", "digest", name="one_of_a_fact"),
    )
    op.create_index("facts_of_a_stream", "fact", ["stream", "place"])
    op.create_index("facts_of_a_device", "fact", ["device", "device_seq"])
    op.create_table(
        "unread",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("stream", sa.String(64), sa.ForeignKey("stream.name"), primary_key=True),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("received", sa.String(24), nullable=False),
    )
    op.create_table(
        "device",
        sa.Column("name", sa.String(64), primary_key=True),
        sa.Column("up_to", sa.BigInteger(), nullable=False),
    )
    op.create_table(
        "client_reading",
        sa.Column("client", sa.String(64), primary_key=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("search", sa.Text(), nullable=False, index=True),
        sa.Column("visits", sa.Integer(), nullable=False),
        sa.Column("last_visit", sa.String(10)),
        sa.Column("next_visit", sa.String(10), index=True),
    )
    op.create_table(
        "visit_reading",
        sa.Column("stream", sa.String(64), primary_key=True),
        sa.Column("client", sa.String(64), index=True),
        sa.Column("date", sa.String(10), index=True),
        sa.Column("outcome", sa.String(20)),
        sa.Column("facts", sa.Integer(), nullable=False),
    )
