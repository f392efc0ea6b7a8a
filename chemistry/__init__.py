"""Functions of numbers about tank water; nothing here has heard of a database or a page.

Floats or arrays in, the same out, keyword-only; the unit ends every name. Canonical units:
mg/L as N for nitrogen, meq/L alkalinity, °C (ITS-90), g/kg salinity (numerically the
practical salinity), mg/L oxygen, mg/L chlorine as Cl₂, litres, grams. Outside the range a
formula was published for, it raises ``OutOfRange``; ``units`` alone speaks of other units.
"""
