"""Reading a plan file, showing what it comes to, and putting it in force."""
