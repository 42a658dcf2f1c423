"""The household: its people and their sign-ins, its name and its clock."""
