"""What holds it together: starts and watches the station, and is its one door."""
