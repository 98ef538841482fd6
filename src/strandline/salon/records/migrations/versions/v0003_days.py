"""Plans by day, days of return and alert tests in the readings; facts found by kind."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add what the day is looked up by; the readings are made again by whoever migrates."""
    op.add_column("client_reading", sa.Column("next_gloss", sa.String(10)))
    op.add_column("client_reading", sa.Column("alert_until", sa.String(10)))
    op.create_table(
        "plan_reading",
        sa.Column("stream", sa.String(64), primary_key=True),
        sa.Column("client", sa.String(64), index=True),
        sa.Column("date", sa.String(10), index=True),
        sa.Column("foils_from", sa.String(10)),
        sa.Column("foils_to", sa.String(10)),
        sa.Column("gloss_from", sa.String(10)),
        sa.Column("gloss_to", sa.String(10)),
    )
    op.create_index("facts_of_a_kind", "fact", ["kind"])
