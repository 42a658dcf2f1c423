"""Leaflet on gastrostomy devices with a balloon.

A children's hospital in Newcastle. Here: when a device is changed; written for children.
Rows in printed order; no clinician has checked them.
"""
