"""English as in Britain: the day comes first, the week begins on Monday."""

DATE_FORMAT = "j F Y"
SHORT_DATE_FORMAT = "d/m/Y"
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d/%m/%y"]
FIRST_DAY_OF_WEEK = 1
