"""How the app looks: colours, sizes, fonts."""
