"""HTTP: requests to domain values, one call, answers back. No arithmetic lives here."""
