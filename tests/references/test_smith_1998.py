"""Gastrostomy feeding of cats, American Journal of Veterinary Research 59:1414.

Smith and others, 1998.
Here: feeding scheme.
Rows in printed order; no clinician has checked them.
"""
