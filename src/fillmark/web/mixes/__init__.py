"""Mixes of several foods, and the foods on hand that they are made of."""
