"""May this plan hold, and may this be done now? Everything known is asked here before it is done."""
