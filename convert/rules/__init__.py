"""The audit: rules over one setup, judged by physics. See `engine.audit`."""
