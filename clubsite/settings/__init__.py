"""Settings: of every installation (``base``), of the tests (``test``), read strictly (``env``)."""
