"""What is heard: sounds made ready, the player, latency."""
