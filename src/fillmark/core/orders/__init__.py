"""What did the vet order, and does it look right?"""
