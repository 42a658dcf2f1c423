"""What goes through the tube, into which syringe, and how fast?"""
