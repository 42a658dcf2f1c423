"""Handout on lowering prednisolone.

A patient group. Here: cuts of 25 to 33 % every two to three weeks; a lay source, the schedule is the vet's.
Rows in printed order; no clinician has checked them.
"""
