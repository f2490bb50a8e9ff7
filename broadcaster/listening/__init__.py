"""How readable what goes out is, at the listener's ear; and how rough it may be to stay so."""
