"""What the transmitter needs: its bandwidth and its ceiling, as the last station of the stream."""
