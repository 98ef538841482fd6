"""What every floor stands on: errors, quantities, sources, facts."""
