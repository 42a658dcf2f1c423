"""Once or twice? The question about entries that look like one thing written down twice."""
