"""Teaching page on laminar flow in a tube.

a medical university.
Here: Hagen-Poiseuille equation.
Rows in printed order; no clinician has checked them.
"""
