"""How well a recogniser hears: tables of sound, engines side by side, scores."""
