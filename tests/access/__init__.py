"""Who gets in where: every address, every viewer, every method, in one table."""
