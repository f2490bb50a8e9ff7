"""How the room talks to the station, and the station to the room: every way in and out."""
