"""How staff signs in beside the mailed code: passkeys, and sessions that end."""
