"""What print says of the energy, the weight and the foods of one animal."""
