"""An invented household to look around in."""
