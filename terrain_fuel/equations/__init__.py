"""Published equations on bare arrays."""
