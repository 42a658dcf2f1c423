"""Proceedings on nutritional support.

a veterinary congress, 2010.
Here: when support is indicated.
Rows in printed order; no clinician has checked them.
"""
