"""What is seen: the window, the printed page, the command line. Computes no physics."""
