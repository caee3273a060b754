"""The outbox: what is sent to customers, how it is addressed, and what comes back."""
