"""What is a number, a word, an error, a person here?"""
