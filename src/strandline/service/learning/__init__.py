"""What checks and results teach: beliefs about product, client, day and hand, from facts."""
