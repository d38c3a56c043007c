"""The demo club: people of our own invention whose plans follow from their habits."""
