"""Chemical Engineering Fluid Mechanics.

Darby, 2001.
Here: equation 6-44, as reproduced elsewhere.
Rows in printed order; no clinician has checked them.
"""
