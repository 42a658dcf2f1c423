"""Teaching page on dehydration, quoting the AAHA fluid guideline.

a teaching site.
Here: worked example, second-hand.
Rows in printed order; no clinician has checked them.
"""
