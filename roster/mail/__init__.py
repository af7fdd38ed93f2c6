"""Mail: wording, the message as bytes, and the ways it leaves (SMTP, a folder, or nowhere)."""
