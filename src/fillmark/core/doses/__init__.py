"""May this dose be given now?"""
