"""Calendar feeds and invitations: values in, bytes out (RFC 5545, 5546, 7986)."""
