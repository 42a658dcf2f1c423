"""Leaflet on gastrostomy devices with a balloon.

A community health service in Kent. Here: what makers say about changing a device; written for people.
Rows in printed order; no clinician has checked them.
"""
