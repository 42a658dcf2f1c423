"""The look: a measuring line with a mark. Drawings, and the page that shows them all."""
