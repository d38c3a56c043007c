"""How dates are read in each language, where Django's own way is not the one meant here."""
