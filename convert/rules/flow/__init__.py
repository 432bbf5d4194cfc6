"""Rules on volume flow, feed and flow factors."""
