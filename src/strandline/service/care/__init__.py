"""Care: what stops, holds back or warns, before anything is mixed. It never clears anyone."""
