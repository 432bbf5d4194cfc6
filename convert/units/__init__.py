"""Units of measure: exact factors from schemas/units.tsv, found by UCUM code or usual spelling."""

from convert.units.table import Unit, codes, convert, kinds, spellings, unit

__all__ = ["Unit", "codes", "convert", "kinds", "spellings", "unit"]
