"""Guide to syringes and their graduations.

A college of nursing. Here: graduation of each size.
Rows in printed order; no clinician has checked them.
"""
