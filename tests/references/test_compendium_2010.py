"""Xylitol poisoning in dogs, Compendium.

A review, 2010. Here: abstract; blood sugar above 0.1 g/kg, liver above 0.5 g/kg.
Rows in printed order; no clinician has checked them.
"""
