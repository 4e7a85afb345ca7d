"""How files come to their places: drafts in a hidden room, moved one by one, or a whole folder exchanged at once."""
