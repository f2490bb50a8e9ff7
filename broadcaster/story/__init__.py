"""What can happen: programme, state and event in; what goes on air next, out. Pure."""
