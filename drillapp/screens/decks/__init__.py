"""The decks: looking through them, writing them, giving them away."""
