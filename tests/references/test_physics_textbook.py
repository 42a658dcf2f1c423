"""Textbook problem on the force on a syringe plunger.

a physics textbook.
Here: worked answer.
Rows in printed order; no clinician has checked them.
"""
