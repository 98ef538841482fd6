"""Tombs of erased streams, what was kept of them by law, and the backups that were made."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add what erasure stands on."""
    op.create_table(
        "tomb",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("salt", sa.String(32), nullable=False),
        sa.Column("erased", sa.String(24), nullable=False),
        sa.Column("by_whom", sa.Text(), nullable=False),
        sa.Column("lifted", sa.String(24)),
    )
    op.create_table(
        "backup",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("made", sa.String(24), nullable=False),
    )
