"""The one line of migrations, oldest first."""
