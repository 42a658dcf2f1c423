"""What became of each dose?"""
