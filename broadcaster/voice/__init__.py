"""Who speaks: text in, speech samples out."""
