"""Tube feeding at home: from the vet's orders to the mark on the syringe, and one record of what was given."""
