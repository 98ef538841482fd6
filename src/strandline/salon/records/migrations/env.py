"""What Alembic runs: it is handed a connection and never looks for one itself."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=None, render_as_batch=True)
context.run_migrations()
