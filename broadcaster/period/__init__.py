"""How its era colours the broadcast: a stream of samples in, a stream of samples out."""
