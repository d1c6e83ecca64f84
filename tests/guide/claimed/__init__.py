"""Every number that README and guide claim, by subject, each with what works it out."""

from tests.guide.claimed import chopping, methods, photographs, program, steel, tables, wear

CLAIMS = (
    *wear.CLAIMS,
    *photographs.CLAIMS,
    *chopping.CLAIMS,
    *methods.CLAIMS,
    *steel.CLAIMS,
    *program.CLAIMS,
    *tables.CLAIMS,
)
