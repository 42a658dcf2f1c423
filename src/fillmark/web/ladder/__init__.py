"""The ladders: up to full feeding, and back to eating by mouth."""
