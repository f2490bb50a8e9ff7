"""Real time: the station that pulls story, sound, period and transmitter and fills an output."""
