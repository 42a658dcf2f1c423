"""Who stands at the animal, what is known there, and may this be written down?"""
