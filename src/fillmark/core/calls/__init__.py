"""Something is wrong: what now, and whom to call?"""
