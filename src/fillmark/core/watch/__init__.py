"""Is something changing?"""
