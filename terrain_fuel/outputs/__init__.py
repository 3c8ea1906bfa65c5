"""Writers: each formats what a plan holds, and computes nothing of its own."""
