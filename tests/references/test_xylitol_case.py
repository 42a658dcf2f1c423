"""Case report of a dog that ate xylitol.

A poison service. Here: 33.6 g, 0.96 g/kg; the weight was worked back from it.
Rows in printed order; no clinician has checked them.
"""
